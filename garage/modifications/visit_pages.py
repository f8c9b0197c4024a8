"""Routes of the workshop visit, and of taking one back."""

from urllib.parse import urlencode

from garage.hulls.store import hull as one_hull
from garage.modifications.step_store import release_steps
from garage.modifications.visit_store import keep_visit, offer_for, on_offer
from garage.states import mending_store, query_store, visit_forms, visit_sheets
from garage.states.change_store import InThePast, take_back
from garage.states.fold import EMPTY
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


def _at(desk: Desk) -> str:
    """When the visit was, as typed or asked for in the address: in UTC, or '' for now."""
    reader = desk.reader() if len(desk.typed) else desk.query_reader()
    at = reader.moment("at")
    return at.utc if at else ""


@pages.sheet("/hulls/{hull_id:int}/changes/new", "states/visit.html")
def visit(desk: Desk, hull_id: int) -> visit_sheets.VisitSheet:
    hull, utc = one_hull(desk.session, hull_id), _at(desk)
    now = query_store.current_state(desk.session, hull_id)
    then = query_store.state_at(desk.session, hull_id, utc) if utc else now
    then = None if then and utc and utc < then.made_at else then
    content = mending_store.mended_content(desk.session, then) if then else EMPTY
    offer = on_offer(desk.session, hull_id, content)
    values = {"at": desk.moment.local_text(), **desk.query}
    is_past = bool(utc) and bool(now) and then != now
    return visit_sheets.visit_sheet(hull, then, content, offer, desk.units, values, is_past=is_past)


@pages.action("/hulls/{hull_id:int}/changes/new", on_error=visit)
def keep(desk: Desk, hull_id: int) -> Done:
    hull = one_hull(desk.session, hull_id)
    read = mending_store.read_at(desk.session, hull_id, _at(desk))
    offer = offer_for(desk.session, hull_id, read.content, desk.typed)
    form = visit_forms.read_visit(desk.reader(), desk.typed, hull, read.content, offer)
    try:
        kept = keep_visit(desk.session, hull_id, form, desk.moment, desk.rests, read)
    except InThePast:
        typed = urlencode({name: text for name, text in desk.typed.items() if text})
        return Done(f"/otherwise/hull/{hull_id}/forgotten?look=yes&{typed}")
    address = f"/hulls/{hull_id}/states/{kept.state.number}"
    said = f"Build state {kept.state.number}: {visit_sheets.said(form.changes, desk.units)}"
    return Done(address, said, undo=f"{address}/back/{kept.first_position}")


@pages.action("/hulls/{hull_id:int}/states/{number:int}/back/{position:int}")
def back(desk: Desk, hull_id: int, number: int, position: int) -> Done:
    stands = take_back(desk.session, hull_id, number, position, desk.moment, desk.rests, release_steps)
    return Done(f"/hulls/{hull_id}/states/{stands.number}", f"Taken back. Build state {stands.number} stands.")
