"""The hull's page put together from all the rooms below."""

from sqlmodel import Session

from garage.boats import hull_sheets as sheets
from garage.boats import hull_store as store
from garage.boats.as_she_stands import AsSheStands, as_she_stands
from garage.boats.history import History
from garage.boats.speed_chart import SpeedChart, chosen_way, speed_chart, spoiled
from garage.fields.showing import facts, values
from garage.findings.changed import decided_on_hull
from garage.hulls.fields import FIELDS
from garage.hulls.tables import Hull
from garage.modifications.store import not_fitted_yet, status, step_counts
from garage.moments import Moment
from garage.photos.sheets import attached
from garage.photos.store import attachments
from garage.records.forms import Filters
from garage.records.sections import sections
from garage.records.store import Narrowing
from garage.runs.lines import run_lines
from garage.runs.service_due import due
from garage.states.content_sheets import content_sheet
from garage.states.fold import EMPTY
from garage.states.mending_store import mended_content
from garage.states.store import current_state
from garage.units import DisplayUnits

RUNS_DRAWN = 60
_MOST_PLANNED = 20
_MOST_TRY_NEXT = 8
_MOST_DECIDED = 6


def hull_sheet(
    session: Session, hull: Hull, history: History, asked_way: str, now: Moment, units: DisplayUnits
) -> sheets.HullSheet:
    """The page of `hull`; `asked_way` is the anchor of the way of measuring to draw."""
    count = store.run_count(session, hull.id)
    return sheets.HullSheet(
        id=hull.id,
        hull=values(FIELDS, hull),
        facts=facts(FIELDS, hull),
        retired_on=hull.retired_on,
        retired_reason=hull.retired_reason,
        runs=count,
        runs_words=sheets.runs_words(count),
        now=_now(session, hull, now, units),
        best=sheets.best_speeds(sections(session, Filters(), Narrowing(hull_id=hull.id), limit=1), units),
        chart=_chart(session, hull.id, asked_way, units),
        planned=_planned(session, hull.id),
        try_next=sheets.try_next(store.open_try_next(session, hull.id, _MOST_TRY_NEXT)),
        decided=decided_on_hull(session, hull.id, _MOST_DECIDED),
        history=history,
        attached=attached("hull", hull.id, attachments(session, "hull", hull.id)),
        values={},
    )


def _now(session: Session, hull: Hull, now: Moment, units: DisplayUnits) -> AsSheStands:
    state = current_state(session, hull.id)
    content = mended_content(session, state) if state else EMPTY
    return as_she_stands(hull, state, content_sheet(content, units), due(session, hull.id, now.utc))


def _chart(session: Session, hull_id: int, asked_way: str, units: DisplayUnits) -> SpeedChart | None:
    runs = store.latest_speeds(session, hull_id, RUNS_DRAWN)
    lines = run_lines(session, runs)
    doubtful = store.not_broken_in(session, runs) | spoiled(lines)
    return speed_chart(runs, lines, doubtful, chosen_way(runs, asked_way), units)


def _planned(session: Session, hull_id: int) -> list[sheets.Planned]:
    rows = not_fitted_yet(session, hull_id=hull_id, limit=_MOST_PLANNED)
    ids = [row.id for row in rows]
    return sheets.planned(rows, status(session, ids), step_counts(session, ids))
