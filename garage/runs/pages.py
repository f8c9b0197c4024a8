"""Routes of runs: writing one, its page, changing it, the list."""

from garage.hulls.store import hull as hull_by_id
from garage.runs import sheets as run_sheets
from garage.runs import store
from garage.runs.entry import change_store
from garage.runs.entry import edit as run_edit
from garage.runs.entry import sheets as run_form_sheets
from garage.runs.entry.forms import read_incident, read_pin
from garage.runs.entry.gather import run_form
from garage.runs.entry.write import write_run
from garage.runs.fields import COUNTS
from garage.runs.gather import run_page
from garage.runs.lines.line import run_lines
from garage.runs.reassign import move_back, move_pins
from garage.states.store import state, state_by_number
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/runs", "runs/list.html", is_list=True, asks={"hull": "only runs of the hull of this number"})
def list_runs(desk: Desk) -> run_sheets.RunListSheet:
    asked = desk.query.get("hull", "")
    hull = hull_by_id(desk.session, int(asked)) if asked.isascii() and asked.isdigit() and len(asked) < 10 else None
    hull_id = hull.id if hull else None
    found = store.runs_listed(desk.session, hull_id=hull_id, limit=desk.limit + 1, offset=desk.offset)
    lines = run_lines(desk.session, found[: desk.limit])
    return run_sheets.RunListSheet(lines, hull_id, hull.name if hull else "", desk.page, len(found) > desk.limit)


@pages.sheet(
    "/runs/new",
    "runs/new.html",
    asks={"hull": "the number of the hull", "outing": "the number of the outing"},
)
def new_run(desk: Desk) -> run_form_sheets.RunFormSheet:
    asked = {name: desk.typed.get(name) or desk.query.get(name, "") for name in ("hull", "outing")}
    picked = desk.typed.get("pack", "")
    return run_form(desk.session, asked["hull"], asked["outing"], desk.moment, desk.units, picked)


@pages.action("/runs/new", on_error=new_run)
def add_run(desk: Desk) -> Done:
    run = write_run(desk.session, desk.reader(), desk.moment)
    return Done(f"/runs/{run.id}", f"Run {run.number} is written.", undo=f"/runs/{run.id}/take-back")


@pages.sheet("/runs/{run_id:int}", "runs/run.html")
def show_run(desk: Desk, run_id: int) -> run_sheets.RunSheet:
    return run_page(desk.session, run_id, desk.units, desk.measured_slip)


@pages.sheet("/runs/{run_id:int}/edit", "runs/edit.html")
def edit_run(desk: Desk, run_id: int) -> run_edit.RunEditSheet:
    return run_edit.edit_sheet(desk.session, run_id, desk.units)


@pages.action("/runs/{run_id:int}/edit", on_error=edit_run, edits=True)
def change_run(desk: Desk, run_id: int) -> Done:
    run_edit.save_run(desk.session, run_id, desk.reader(), desk.moment)
    return Done(f"/runs/{run_id}", "Saved.")


@pages.action("/runs/{run_id:int}/pin", on_error=edit_run)
def move_pin(desk: Desk, run_id: int) -> Done:
    number, why = read_pin(desk.reader())
    run = store.run(desk.session, run_id)
    target = state_by_number(desk.session, run.hull_id, number)
    change_store.state_is_known(desk.session, run, why, desk.moment)
    move_pins(desk.session, [run_id], target.id, why, desk.moment)
    said = f"The run stands on build state {number} now; the ledger keeps the move."
    return Done(f"/runs/{run_id}", said, undo=f"/runs/{run_id}/pin/back")


@pages.action("/runs/{run_id:int}/pin/back")
def move_pin_back(desk: Desk, run_id: int) -> Done:
    stands = state(desk.session, move_back(desk.session, run_id, desk.moment))
    said = f"The run stands on build state {stands.number} again; the ledger keeps both moves."
    return Done(f"/runs/{run_id}", said, undo=f"/runs/{run_id}/pin/back")


@pages.action("/runs/{run_id:int}/take-back")
def take_back(desk: Desk, run_id: int) -> Done:
    run = change_store.set_run_aside(desk.session, run_id, desk.moment.utc, "taken back at once")
    return Done(f"/outings/{run.outing_id}", f"Run {run.number} is set aside.", f"/runs/{run_id}/bring-back")


@pages.action("/runs/{run_id:int}/set-aside", on_error=show_run)
def set_aside(desk: Desk, run_id: int) -> Done:
    reader = desk.reader()
    reason = reader.text("reason", required=True, most=300)
    reader.finish()
    run = change_store.set_run_aside(desk.session, run_id, desk.moment.utc, reason)
    return Done(f"/runs/{run_id}", f"Run {run.number} is set aside.", f"/runs/{run_id}/bring-back")


@pages.action("/runs/{run_id:int}/bring-back")
def bring_back(desk: Desk, run_id: int) -> Done:
    run = change_store.set_run_aside(desk.session, run_id, None)
    return Done(f"/runs/{run_id}", f"Run {run.number} counts again.")


@pages.action("/runs/{run_id:int}/speed-counts", on_error=show_run)
def answer_speed(desk: Desk, run_id: int) -> Done:
    reader = desk.reader()
    answer = reader.choice("speed_counts", COUNTS, required=True)
    reader.finish()
    change_store.answer_speed(desk.session, run_id, answer, desk.moment)
    return Done(f"/runs/{run_id}", f"Whether the speed counts: {answer}.")


@pages.action("/runs/{run_id:int}/wave")
def wave_away(desk: Desk, run_id: int) -> Done:
    change_store.wave_away(desk.session, run_id, desk.moment.utc)
    return Done(f"/runs/{run_id}", "What is missing is no longer asked for.", f"/runs/{run_id}/ask-again")


@pages.action("/runs/{run_id:int}/ask-again")
def ask_again(desk: Desk, run_id: int) -> Done:
    change_store.wave_away(desk.session, run_id, None)
    return Done(f"/runs/{run_id}", "What is missing is asked for again.")


@pages.action("/runs/{run_id:int}/incidents", on_error=show_run)
def add_incident(desk: Desk, run_id: int) -> Done:
    reader = desk.reader()
    incident = read_incident(reader, "i1", required=True)
    reader.finish()
    change_store.add_incident(desk.session, run_id, incident, desk.moment)
    return Done(f"/runs/{run_id}", f"Written: {incident.kind}.")


@pages.action("/runs/{run_id:int}/incidents/{incident_id:int}/set-aside")
def set_incident_aside(desk: Desk, run_id: int, incident_id: int) -> Done:
    incident = change_store.set_incident_aside(desk.session, run_id, incident_id, desk.moment.utc)
    undo = f"/runs/{run_id}/incidents/{incident_id}/bring-back"
    return Done(f"/runs/{run_id}", f"Set aside: {incident.kind}.", undo)


@pages.action("/runs/{run_id:int}/incidents/{incident_id:int}/bring-back")
def bring_incident_back(desk: Desk, run_id: int, incident_id: int) -> Done:
    change_store.set_incident_aside(desk.session, run_id, incident_id, None)
    return Done(f"/runs/{run_id}", "The incident counts again.")
