"""The hull's page put together from all the rooms below."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlmodel import Session

from garage.boats import hull_sheets as sheets
from garage.boats import hull_store as store
from garage.boats.as_she_stands import AsSheStands, as_she_stands
from garage.boats.history import read_stretch, told
from garage.boats.speed_chart import SpeedChart, chosen_way, speed_chart, spoiled
from garage.fields.showing import facts as facts_of
from garage.fields.showing import values
from garage.findings.changed import decided_on_hull
from garage.hulls.fields import FIELDS, RETIREMENT_FIELDS
from garage.hulls.tables import Hull
from garage.modifications.store import planned_and_others, status_of
from garage.modifications.work_mended import work_as_mended
from garage.moments import Moment
from garage.photos.sheets import attached
from garage.photos.store import attachments, receipts
from garage.records.forms import Filters
from garage.records.sections import ranking
from garage.records.store import Narrowing
from garage.runs.lines.line import RunLine, line_of, not_broken_in
from garage.runs.lines.store import LineFacts, line_facts
from garage.runs.service_due import due_of
from garage.runs.tables import Run
from garage.shelf.sheets import shelf_sheet
from garage.shelf.store import Kept
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
    session: Session, hull: Hull, kept: Kept, events: int, asked_way: str, now: Moment, units: DisplayUnits
) -> sheets.HullSheet:
    """The page of `hull` with the latest `events` of her history; `asked_way` is the anchor of the way of measuring to
    draw."""
    stretch = read_stretch(session, hull.id, None, events)
    ranked = ranking(session, Filters(), Narrowing(hull_id=hull.id), limit=1)
    drawn, ideas = store.speeds_and_ideas(session, hull.id, RUNS_DRAWN, _MOST_TRY_NEXT)
    # One reading serves the history, the best speeds and the chart, and each run is told once.
    runs = {run.id: run for run in (*stretch.runs, *ranked.runs, *drawn)}
    facts = line_facts(session, list(runs.values()))
    lines = {run_id: line_of(run, facts) for run_id, run in runs.items()}
    planned, plans, counts = planned_and_others(session, hull.id, stretch.by_kind["plan"], limit=_MOST_PLANNED)
    stands = status_of(session, list({row.id: row for row in (*planned, *plans)}.values()), counts)
    latest, decided = decided_on_hull(session, hull.id, _MOST_DECIDED, stretch.by_kind["decision"])
    count = store.run_count(session, hull.id)
    best = ranked.sections(lines)
    rows = attachments(session, "hull", hull.id)
    return sheets.HullSheet(
        id=hull.id,
        hull=values(FIELDS, hull),
        facts=facts_of(FIELDS, hull),
        retired_on=hull.retired_on,
        retired_reason=hull.retired_reason,
        end=values(RETIREMENT_FIELDS, hull),
        runs=count,
        runs_words=sheets.runs_words(count),
        now=_now(session, hull, now, units),
        best=sheets.best_speeds(best, units),
        chart=_chart(drawn, lines, facts, asked_way, units),
        planned=sheets.planned(planned, stands, counts),
        try_next=sheets.try_next(ideas),
        decided=latest,
        history=told(session, stretch, [lines[run.id] for run in stretch.runs], plans, stands, decided, units),
        attached=attached("hull", hull.id, rows),
        keeping=shelf_sheet(
            "hull",
            hull.id,
            kept,
            receipts(session, "hull", hull.id, rows),
            now.date(),
            retired=bool(hull.retired_on),
        ),
        values={},
    )


def _now(session: Session, hull: Hull, now: Moment, units: DisplayUnits) -> AsSheStands:
    state = current_state(session, hull.id)
    content = mended_content(session, state) if state else EMPTY
    [fitted] = work_as_mended(session, [content.fitted])
    content = replace(content, fitted=fitted)
    return as_she_stands(hull, state, content_sheet(content, units), due_of(session, [hull], now.utc)[hull.id])


def _chart(
    runs: Sequence[Run], lines: Mapping[int, RunLine], facts: LineFacts, asked_way: str, units: DisplayUnits
) -> SpeedChart | None:
    drawn = [lines[run.id] for run in runs]
    doubtful = not_broken_in(runs, facts) | spoiled(drawn)
    return speed_chart(runs, drawn, doubtful, chosen_way(runs, asked_way), units)
