"""Routes of phones on the home network: the desk shows code and address, a phone types the code.

The desk's pages are for the machine itself: a phone that was let in does not let others in.
"""

from fastapi import Response

from garage.access import forms, sheets, store
from garage.access.qr import qr_svg
from garage.errors import Conflict, NotFound
from garage.web.desk import Desk
from garage.web.guard import DEVICE_COOKIE, is_loopback
from garage.web.pages import Cookie, Done, Pages

pages = Pages()


@pages.sheet("/access", "access/desk.html")
def show_access(desk: Desk) -> sheets.AccessSheet:
    _only_at_the_desk(desk)
    is_open = desk.request.app.state.settings.lan
    code = desk.request.app.state.doorkeeper.code() if is_open else ""
    phones = store.devices(desk.session, desk.now)
    here_only = desk.request.app.state.doorkeeper.here_only
    return sheets.access_sheet(is_open, _address(desk) if is_open else "", code, phones, here_only)


@pages.response("/access/qr.svg")
def show_qr(desk: Desk) -> Response:
    _only_at_the_desk(desk)
    if not desk.request.app.state.settings.lan:
        raise NotFound("The home network is not served.")
    address = f"{_address(desk)}/pair?code={desk.request.app.state.doorkeeper.code()}"
    return Response(qr_svg(address), media_type="image/svg+xml", headers={"cache-control": "no-store"})


@pages.action("/access/{device_id:int}/send-away")
def send_away(desk: Desk, device_id: int) -> Done:
    _only_at_the_desk(desk)
    phone = store.send_away(desk.session, device_id, desk.moment)
    said = f"{phone.name or 'The phone'} is sent away; to come back it needs a new code."
    return Done("/access", said, undo=f"/access/{device_id}/let-back-in")


@pages.action("/access/{device_id:int}/let-back-in")
def let_back_in(desk: Desk, device_id: int) -> Done:
    _only_at_the_desk(desk)
    phone = store.let_back_in(desk.session, device_id)
    said = f"{phone.name or 'The phone'} may come in again."
    return Done("/access", said, undo=f"/access/{device_id}/send-away")


@pages.action("/access/forget")
def forget(desk: Desk) -> Done:
    _only_at_the_desk(desk)
    count = desk.request.app.state.doorkeeper.forget()
    return Done("/access", f"Sent away: {count}. To come back they need a new code.")


@pages.sheet("/pair", "access/pair.html", asks={"code": "the code to begin with"})
def show_pair(desk: Desk) -> sheets.PairSheet:
    return sheets.PairSheet({"code": desk.query.get("code", "")[:40], "name": ""})


@pages.action("/pair", on_error=show_pair)
def pair(desk: Desk) -> Done:
    reader = desk.reader()
    form = forms.read_pair(reader)
    try:
        secret = desk.request.app.state.doorkeeper.pair(desk.session, form.code, form.name)
    except Conflict as refused:
        reader.fail("code", str(refused))
        reader.finish()
        raise
    cookie = Cookie(DEVICE_COOKIE, secret, int(store.PHONE_STAYS.total_seconds()))
    # A screen that only shows writes nothing down: there the phone is forgotten when it is ended.
    undo = "" if desk.request.app.state.settings.read_only else "/pair/leave"
    return Done("/", "This phone is let in.", undo=undo, cookies=(cookie,))


@pages.action("/pair/leave")
def leave(desk: Desk) -> Done:
    store.leave(desk.session, desk.request.cookies.get(DEVICE_COOKIE, ""), desk.moment)
    return Done("/pair", "This phone was sent away; with a new code it comes in again.")


def _only_at_the_desk(desk: Desk) -> None:
    if not is_loopback(desk.request.scope):
        raise NotFound("This page is for the computer that the garage runs on.")


def _address(desk: Desk) -> str:
    settings = desk.request.app.state.settings
    outside = [host for host in settings.hosts if host not in ("127.0.0.1", "localhost", "[::1]")]
    return f"http://{outside[0] if outside else 'localhost'}:{settings.port}"
