"""One message that survives a redirect: what was done, and a button to take it back."""

import base64
import binascii
import json
import re
from dataclasses import dataclass

from fastapi import Request, Response

COOKIE = "garage_notice"
# An address of ours, and nothing that a browser takes for another host.
_OURS = re.compile(r"/(?:[\w.-]+(?:/[\w.-]+)*)?", re.ASCII)


@dataclass(frozen=True)
class Notice:
    """What was done, in words, and the address that takes it back ('' if nothing does)."""

    said: str
    undo: str = ""


def set_notice(response: Response, notice: Notice) -> None:
    """Leave `notice` for the next page."""
    packed = base64.urlsafe_b64encode(json.dumps([notice.said[:500], notice.undo]).encode()).decode()
    response.set_cookie(COOKIE, packed, max_age=120, httponly=True, samesite="strict")


def take_notice(request: Request, response: Response | None = None) -> Notice | None:
    """The notice left for this page, if any; anything that is not one of ours is no notice."""
    packed = request.cookies.get(COOKIE)
    if not packed:
        return None
    try:
        said, undo = json.loads(base64.urlsafe_b64decode(packed))
    except (binascii.Error, ValueError, TypeError):
        return None
    if not isinstance(said, str) or not isinstance(undo, str):
        return None
    return Notice(said, undo if _OURS.fullmatch(undo) else "")
