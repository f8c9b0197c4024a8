"""Routes of a forgotten change put in at its date, and of one taken out of a hull's history."""

from collections.abc import Mapping
from urllib.parse import urlencode

from garage.errors import Conflict
from garage.hulls.store import hull as one_hull
from garage.modifications.visit_store import filled, offer_for
from garage.outings.insertion import insert_in_past, withdraw_from_past
from garage.outings.insertion_sheets import MOST_RUNS_SHOWN, PastSheet, past_sheet
from garage.runs.lines.line import run_lines
from garage.runs.reassign import affected_count, affected_runs
from garage.states.mending_store import mended_content_at
from garage.states.past import PastPlan
from garage.states.past_store import past_plan, plan_of_withdrawal
from garage.states.store import state
from garage.states.visit_forms import VisitFormData, read_visit
from garage.web.desk import Desk
from garage.web.fields import FormErrors, Reader
from garage.web.pages import Done, Pages

pages = Pages()


def _visit_form(desk: Desk, hull_id: int, reader: Reader, names: Mapping[str, str]) -> VisitFormData:
    """The visit that was typed, read against the boat as it stood then."""
    at = reader.moment("at", required=True)
    content = mended_content_at(desk.session, hull_id, at.utc if at else "")
    offer = offer_for(desk.session, hull_id, content, names)
    return read_visit(reader, names, one_hull(desk.session, hull_id), content, offer)


def _preview(desk: Desk, hull_id: int, plan: PastPlan, typed: Mapping[str, str], edit: str = "") -> PastSheet:
    hull = one_hull(desk.session, hull_id)
    runs = run_lines(desk.session, affected_runs(desk.session, plan, limit=MOST_RUNS_SHOWN))
    return past_sheet(hull, plan, runs, affected_count(desk.session, plan), desk.units, typed, edit)


@pages.sheet("/hulls/{hull_id:int}/changes/past", "outings/insertion.html")
def preview(desk: Desk, hull_id: int) -> PastSheet:
    typed = desk.typed if len(desk.typed) else desk.query
    reader = desk.reader() if len(desk.typed) else desk.query_reader()
    edit = f"/hulls/{hull_id}/changes/new?{urlencode({name: typed[name] for name in typed if name != 'why'})}"
    try:
        form = _visit_form(desk, hull_id, reader, typed)
    except FormErrors as errors:
        raise Conflict(" ".join(errors.errors.values())) from errors
    plan = past_plan(desk.session, hull_id, filled(desk.session, form.changes), form.at, form.note)
    return _preview(desk, hull_id, plan, typed, edit)


@pages.action("/hulls/{hull_id:int}/changes/past", on_error=preview)
def insert(desk: Desk, hull_id: int) -> Done:
    reader = desk.reader()
    why = reader.text("why", required=True, most=400)
    form = _visit_form(desk, hull_id, reader, desk.typed)
    changes = filled(desk.session, form.changes)
    done = insert_in_past(desk.session, hull_id, changes, form.at, why, desk.moment, form.note)
    address = f"/hulls/{hull_id}/states/{state(desk.session, done.state_id).number}"
    moved = f"{done.runs} {'run' if done.runs == 1 else 'runs'} moved"
    return Done(address, f"Put in at its date; {moved}.", undo=f"{address}/withdraw")


@pages.sheet("/hulls/{hull_id:int}/states/{number:int}/withdraw", "outings/insertion.html")
def ask_withdraw(desk: Desk, hull_id: int, number: int) -> PastSheet:
    return _preview(desk, hull_id, plan_of_withdrawal(desk.session, hull_id, number), {})


@pages.action("/hulls/{hull_id:int}/states/{number:int}/withdraw")
def withdraw(desk: Desk, hull_id: int, number: int) -> Done:
    reader = desk.reader()
    why = reader.text("why", most=400) or "taken out of the history"
    reader.finish()
    done = withdraw_from_past(desk.session, hull_id, number, why, desk.moment)
    address = f"/hulls/{hull_id}/states/{state(desk.session, done.state_id).number}"
    moved = f"{done.runs} {'run' if done.runs == 1 else 'runs'} moved"
    return Done(address, f"Build state {number} is out of the history; {moved}. Its page stays.")
