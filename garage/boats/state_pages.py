"""Routes of build states with the runs made on them."""

from fastapi.responses import RedirectResponse, Response

from garage.boats import state_sheets
from garage.boats.state_store import run_counts, speed_groups
from garage.errors import NotFound
from garage.hulls.store import hull as one_hull
from garage.photos.sheets import attached
from garage.photos.store import attachments
from garage.runs.lines.line import run_lines
from garage.runs.store import runs_on_state
from garage.states.gather import differences_of, lines_of, sheet_of
from garage.states.store import current_state, moment_of, short, state_by_number, state_dates, states
from garage.states.tables import BuildState
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


RUNS_A_SIDE = 20
STATES_OFFERED = 300


@pages.sheet("/hulls/{hull_id:int}/states", "boats/states.html", is_list=True)
def list_states(desk: Desk, hull_id: int) -> state_sheets.StateListSheet:
    hull = one_hull(desk.session, hull_id)
    found = states(desk.session, hull_id, limit=desk.limit + 1, offset=desk.offset)
    lines = lines_of(desk.session, found[: desk.limit], desk.units)
    counts = run_counts(desk.session, [line.id for line in lines])
    rows = state_sheets.state_rows(lines, counts)
    return state_sheets.StateListSheet(hull_id, hull.name, rows, desk.page, len(found) > desk.limit)


@pages.sheet("/hulls/{hull_id:int}/states/{number:int}", "boats/state.html")
def show_state(desk: Desk, hull_id: int, number: int) -> state_sheets.StatePage:
    found = state_by_number(desk.session, hull_id, number)
    current = current_state(desk.session, hull_id)
    runs = runs_on_state(desk.session, found.id, limit=desk.limit + 1, offset=desk.offset)
    return state_sheets.StatePage(
        sheet_of(desk.session, found, current, desk.units, desk.rests),
        state_sheets.speed_lines(speed_groups(desk.session, found.id), desk.units),
        run_lines(desk.session, runs[: desk.limit]),
        run_counts(desk.session, [found.id]).get(found.id, 0),
        desk.page,
        len(runs) > desk.limit,
        attached("state", found.id, attachments(desk.session, "state", found.id)),
        state_sheets.others_of(number, state_dates(desk.session, hull_id, limit=STATES_OFFERED)),
        current.number if current and current.id != found.id else None,
    )


@pages.sheet("/hulls/{hull_id:int}/states/{number:int}/against/{other:int}", "boats/against.html")
def against(desk: Desk, hull_id: int, number: int, other: int) -> state_sheets.AgainstSheet:
    hull = one_hull(desk.session, hull_id)
    before, after = (state_by_number(desk.session, hull_id, wanted) for wanted in (number, other))
    differing = differences_of(desk.session, before, after, desk.units, desk.rests)
    sides = _sides(desk, [before, after])
    return state_sheets.AgainstSheet(hull_id, hull.name, differing, sides)


@pages.response("/hulls/{hull_id:int}/states/{number:int}/against")
def choose_other(desk: Desk, hull_id: int, number: int) -> Response:
    written = desk.query.get("other", "").strip()
    if not (written.isascii() and written.isdigit() and len(written) < 10):
        raise NotFound("Write the number of another build state of this hull to set the two side by side.")
    state_by_number(desk.session, hull_id, int(written))
    return RedirectResponse(f"/hulls/{hull_id}/states/{number}/against/{int(written)}", status_code=303)


def _sides(desk: Desk, states: list[BuildState]) -> list[state_sheets.Side]:
    runs = {found.id: runs_on_state(desk.session, found.id, limit=RUNS_A_SIDE) for found in states}
    lines = {line.id: line for line in run_lines(desk.session, [run for on_state in runs.values() for run in on_state])}
    counts = run_counts(desk.session, list(runs))
    return [
        state_sheets.Side(
            found.number,
            moment_of(found),
            found.mark,
            short(found.fingerprint),
            state_sheets.speed_lines(speed_groups(desk.session, found.id), desk.units),
            [lines[run.id] for run in runs[found.id]],
            counts.get(found.id, 0),
        )
        for found in states
    ]
