"""The bin: what was set aside, and a button that brings it back; and taking back the last act."""

from garage.bin import sheets, store
from garage.db import last_action
from garage.preferences.store import unit_choices
from garage.units import DisplayUnits
from garage.web.desk import Desk
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
