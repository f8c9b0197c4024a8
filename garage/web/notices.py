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
    """What was done, in words, the address that takes it back ('' if nothing does), and that of an empty form for
    another one, where an equal one was not written again."""

    said: str
    undo: str = ""
    another: str = ""


def set_notice(response: Response, notice: Notice) -> None:
    """Leave `notice` for the next page."""
    parts = [notice.said[:500], notice.undo, *([notice.another] if notice.another else [])]
    packed = base64.urlsafe_b64encode(json.dumps(parts).encode()).decode()
    response.set_cookie(COOKIE, packed, max_age=120, httponly=True, samesite="strict")


def take_notice(request: Request, response: Response | None = None) -> Notice | None:
    """The notice left for this page, if any; anything that is not one of ours is no notice."""
    packed = request.cookies.get(COOKIE)
    if not packed:
        return None
    try:
        said, *addresses = json.loads(base64.urlsafe_b64decode(packed))
    except (binascii.Error, ValueError, TypeError):
        return None
    if len(addresses) not in (1, 2) or not all(isinstance(part, str) for part in (said, *addresses)):
        return None
    return Notice(said, *(address if _OURS.fullmatch(address) else "" for address in addresses))
