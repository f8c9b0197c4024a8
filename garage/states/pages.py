"""Routes of mistakes mended in build states."""

from garage.hulls.store import hull as one_hull
from garage.states import mending_forms, mending_sheets, mending_store, query_store
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/hulls/{hull_id:int}/states/{number:int}/mend", "states/mend.html")
def slip(desk: Desk, hull_id: int, number: int) -> mending_sheets.SlipSheet:
    hull = one_hull(desk.session, hull_id)
    found = query_store.state_by_number(desk.session, hull_id, number)
    choices = mending_store.choices(desk.session, hull, found, desk.units)
    content = mending_store.mended_content(desk.session, found)
    return mending_sheets.slip_sheet(hull, found, content, choices, desk.units, desk.query)


@pages.action("/hulls/{hull_id:int}/states/{number:int}/mend", on_error=slip)
def mend(desk: Desk, hull_id: int, number: int) -> Done:
    hull = one_hull(desk.session, hull_id)
    found = query_store.state_by_number(desk.session, hull_id, number)
    choices = mending_store.choices(desk.session, hull, found, desk.units)
    mending_store.mend(desk.session, found, mending_forms.read_slip(desk.reader(), hull, choices), desk.moment)
    return Done(f"/hulls/{hull_id}/states/{number}", "Mended. What stood there stays readable beside it.")
