"""The door: who may come in, what they may send, and what a browser may do with our pages."""

import re
from collections.abc import Callable
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from garage.settings import Settings

DEVICE_COOKIE = "garage_device"
# Where a request carries the name of the phone that it came from.
PHONE_OF_REQUEST = "garage.phone"
# What a screen that only shows may still be asked for: neither writes anything down.
_WRITES_NOTHING = ("/pair", "/access/forget")
_OPEN_TO_STRANGERS = ("/pair", "/static/")
# Where films and logs of a day are sent to.
_TAKES_MUCH = re.compile(r"/attachments/.*|/(?:runs|outings)/\d+/logs", re.ASCII)
_LOOPBACK = ("127.0.0.1", "::1")
HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; media-src 'self'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Guard:
    """ASGI middleware. `phone(secret)` names a phone that was let in from the desk, and is None for all others."""

    def __init__(self, app: ASGIApp, settings: Settings, phone: Callable[[str], str | None]) -> None:
        self._app = app
        self._settings = settings
        self._phone = phone

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope, headers)
        if refusal:
            await _answer(send, *refusal)
            return
        await self._app(scope, _limited(receive, self._most_bytes(scope)), _with_headers(send))

    def _refusal(self, scope: Scope, headers: Headers) -> tuple[int, str, str] | None:
        """Status, words and a place to go instead, if this request may not pass."""
        if not self._host_is_ours(headers.get("host", "")):
            return 421, "This garage does not answer to that name.", ""
        if scope["method"] not in ("GET", "HEAD") and not _same_origin(headers):
            return 403, "This came from another site and was not carried out.", ""
        length = headers.get("content-length", "0")
        most = self._most_bytes(scope)
        if not length.isdigit() or int(length) > most:
            return 413, f"That is too large; {most // 1_000_000} MB can be taken in at once. Go back and try less.", ""
        if self._settings.lan and not self._may_enter(scope, headers):
            return 303, "", "/pair"
        if self._settings.read_only and scope["method"] not in ("GET", "HEAD") and scope["path"] not in _WRITES_NOTHING:
            return 403, "This screen only shows the garage; write at the one that serves it. Go back.", ""
        return None

    def _most_bytes(self, scope: Scope) -> int:
        """How much may be sent to this address: films and logs go to a few kinds of address only."""
        takes_much = _TAKES_MUCH.fullmatch(scope["path"]) is not None
        return self._settings.max_upload_bytes if takes_much else self._settings.max_body_bytes

    def _host_is_ours(self, host: str) -> bool:
        # A page elsewhere can make its own name lead to this machine; only names we were started with count.
        name = host.rsplit(":", 1)[0] if not host.endswith("]") else host
        return name.lower() in self._settings.hosts

    def _may_enter(self, scope: Scope, headers: Headers) -> bool:
        if is_loopback(scope):
            return True
        if scope["path"].startswith(_OPEN_TO_STRANGERS):
            return True
        cookie: SimpleCookie = SimpleCookie()
        try:
            cookie.load(headers.get("cookie", ""))
        except CookieError:
            return False
        name = self._phone(cookie[DEVICE_COOKIE].value) if DEVICE_COOKIE in cookie else None
        scope[PHONE_OF_REQUEST] = name or ""
        return name is not None


def is_loopback(scope: Scope) -> bool:
    """Whether a request comes from this machine itself."""
    client = scope.get("client")
    return client is not None and client[0] in _LOOPBACK


def _same_origin(headers: Headers) -> bool:
    """A write must come from our own page. Over plain http on a home network browsers send Origin alone."""
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc.lower() == headers.get("host", "").lower()


def _limited(receive: Receive, most: int) -> Receive:
    """`receive`, cut off at `most` bytes: a body sent in chunks has no length to look at beforehand."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        if message["type"] == "http.request":
            seen += len(message.get("body", b""))
            if seen > most:
                return {"type": "http.disconnect"}
        return message

    return counted


def _with_headers(send: Send) -> Send:
    extra = [(name.encode(), value.encode()) for name, value in HEADERS.items()]

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message["headers"], *extra]
        await send(message)

    return sending


async def _answer(send: Send, status: int, words: str, place: str) -> None:
    headers = [(b"content-type", b"text/plain; charset=utf-8")]
    if place:
        headers.append((b"location", place.encode()))
    await _with_headers(send)({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": words.encode()})
