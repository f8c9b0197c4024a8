"""Routes of the workshop visit, of taking one back, and of slips mended in build states."""

from urllib.parse import urlencode

from garage.builds import slip_forms, slip_sheets, slip_store, state_query_store, visit_forms, visit_sheets
from garage.builds.change_store import InThePast, take_back
from garage.builds.routes import pages
from garage.builds.visit_store import keep_visit, on_offer
from garage.hulls.store import hull as one_hull
from garage.web.desk import Desk
from garage.web.pages import Done


def _at(desk: Desk) -> str:
    """When the visit was, as typed or asked for in the address: in UTC, or '' for now."""
    reader = desk.reader() if len(desk.typed) else desk.query_reader()
    at = reader.moment("at")
    return at.utc if at else ""


@pages.sheet("/hulls/{hull_id:int}/changes/new", "builds/visit.html")
def visit(desk: Desk, hull_id: int) -> visit_sheets.VisitSheet:
    hull, utc = one_hull(desk.session, hull_id), _at(desk)
    now = state_query_store.current_state(desk.session, hull_id)
    then = state_query_store.state_at(desk.session, hull_id, utc) if utc else now
    then = None if then and utc and utc < then.made_at else then
    content = slip_store.mended_content_at(desk.session, hull_id, utc)
    offer = on_offer(desk.session, hull_id, content)
    values = {"at": desk.moment.local_text(), **desk.query}
    is_past = bool(utc) and bool(now) and then != now
    return visit_sheets.visit_sheet(hull, then, content, offer, desk.units, values, is_past=is_past)


@pages.act("/hulls/{hull_id:int}/changes/new", again=visit)
def keep(desk: Desk, hull_id: int) -> Done:
    hull = one_hull(desk.session, hull_id)
    content = slip_store.mended_content_at(desk.session, hull_id, _at(desk))
    offer = on_offer(desk.session, hull_id, content)
    draft = visit_forms.read_visit(desk.reader(), desk.typed, hull, content, offer)
    try:
        kept = keep_visit(desk.session, hull_id, draft, desk.moment)
    except InThePast:
        typed = urlencode({name: text for name, text in desk.typed.items() if text})
        return Done(f"/hulls/{hull_id}/changes/past?{typed}")
    address = f"/hulls/{hull_id}/states/{kept.state.number}"
    said = f"Build state {kept.state.number}: {visit_sheets.said(draft.changes, desk.units)}"
    return Done(address, said, undo=f"{address}/back/{kept.first_position}")


@pages.act("/hulls/{hull_id:int}/states/{number:int}/back/{position:int}")
def back(desk: Desk, hull_id: int, number: int, position: int) -> Done:
    stands = take_back(desk.session, hull_id, number, position, desk.moment)
    return Done(
        f"/hulls/{hull_id}/states/{stands.number}", f"Taken back. Build state {stands.number} stands."
    )


@pages.sheet("/hulls/{hull_id:int}/states/{number:int}/mend", "builds/slip.html")
def slip(desk: Desk, hull_id: int, number: int) -> slip_sheets.SlipSheet:
    hull = one_hull(desk.session, hull_id)
    found = state_query_store.state_by_number(desk.session, hull_id, number)
    choices = slip_store.choices(desk.session, hull, found, desk.units)
    content = slip_store.mended_content(desk.session, found)
    return slip_sheets.slip_sheet(hull, found, content, choices, desk.units, desk.query)


@pages.act("/hulls/{hull_id:int}/states/{number:int}/mend", again=slip)
def mend(desk: Desk, hull_id: int, number: int) -> Done:
    hull = one_hull(desk.session, hull_id)
    found = state_query_store.state_by_number(desk.session, hull_id, number)
    choices = slip_store.choices(desk.session, hull, found, desk.units)
    slip_store.mend(desk.session, found, slip_forms.read_slip(desk.reader(), hull, choices), desk.moment)
    return Done(f"/hulls/{hull_id}/states/{number}", "Mended. What stood there stays readable beside it.")
