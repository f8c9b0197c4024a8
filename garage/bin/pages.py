"""The bin: what was set aside, and its way back; taking back the last act; what is held, and if anything is new."""

from fastapi.responses import JSONResponse

from garage.bin import sheets, store
from garage.db import last_action
from garage.db.sent import is_held
from garage.preferences.store import unit_choices
from garage.units import DisplayUnits
from garage.web.desk import Desk
from garage.web.following import mark_now
from garage.web.numbers import read_number
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/bin", "bin/page.html", is_list=True)
def show_bin(desk: Desk) -> sheets.BinSheet:
    found = store.set_aside_things(desk.session, desk.things, limit=desk.limit + 1, offset=desk.offset)
    return sheets.bin_sheet(found, desk.page, desk.limit)


@pages.action("/undo/{act_id:int}")
def take_back(desk: Desk, act_id: int) -> Done:
    action = last_action.take_back(desk.session, act_id, desk.moment.utc)
    # Every page asks the app for the units, not the file.
    desk.request.app.state.units = DisplayUnits(unit_choices(desk.session))
    return Done(action.back_to, f"Taken back: {action.said}" if action.said else "Taken back.")


@pages.response("/sent/{number}")
def form_of(desk: Desk, number: str) -> JSONResponse:
    return JSONResponse({"held": bool(read_number([number])) and is_held(desk.session, number)})


@pages.response("/newest")
def newest(desk: Desk) -> JSONResponse:
    return JSONResponse({"newest": mark_now(desk.request)})
