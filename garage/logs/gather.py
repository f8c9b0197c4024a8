"""Gathers what the pages of logs show, but for the page of one piece."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

from sqlmodel import Session

from garage.hulls.store import hull as hull_by_id
from garage.logs import corner_sheets, corner_store, sheets, store
from garage.logs.readers.delimited import preview
from garage.logs.readers.result import MOST_BYTES
from garage.logs.tables import LogFile, LogPiece
from garage.measures import Measure
from garage.runs.lines import run_lines
from garage.runs.store import run, runs_of_outing
from garage.runs.tables import Run
from garage.states.store import state_texts
from garage.things import Things
from garage.units import DisplayUnits, entry_text, show
from garage.waters.fields import USUAL_COURSE_M
from garage.waters.outing_store import outing

MOST_STATES = 40


def course_for(session: Session, outing_id: int | None) -> float:
    """The length of the marked course at an outing's water, else the usual one."""
    return store.course_of_water(session, outing_id) or USUAL_COURSE_M


def clock_at(session: Session, row: LogFile, start_s: float) -> str:
    """The time of day on the spot at some second of a log; '' if the log knows elapsed time only."""
    if row.start_unix_s is None:
        return ""
    offset = outing(session, row.outing_id).offset_min if row.outing_id is not None else 0
    try:
        when = datetime.fromtimestamp(row.start_unix_s + start_s, UTC)
    except (OverflowError, ValueError, OSError):
        return ""
    return when.astimezone(timezone(timedelta(minutes=offset))).strftime("%H:%M:%S")


def run_words(found: Run) -> str:
    """A run as a piece names it."""
    return f"Run {found.number}"


def piece_lines(session: Session, row: LogFile, pieces: list[LogPiece]) -> list[sheets.PieceLine]:
    """The pieces of one log as lines."""
    runs = {one: run(session, one) for one in {piece.run_id for piece in pieces if piece.run_id}}
    names = {one: run_words(found) for one, found in runs.items()}
    flags = {line.id: line.flags for line in run_lines(session, list(runs.values()))}
    return [
        replace(
            sheets.piece_line(piece, row, clock_at(session, row, piece.start_s), names.get(piece.run_id or 0, "")),
            run_flags=flags.get(piece.run_id or 0, []),
        )
        for piece in pieces
    ]


def run_logs(session: Session, run_id: int, units: DisplayUnits) -> sheets.OwnerLogsSheet:
    """The logs of a run. Raises NotFound."""
    found = run(session, run_id)
    owned = store.pieces_of_run(session, run_id)
    pieces = [piece_lines(session, row, [piece])[0] for piece, row in owned]
    line = run_lines(session, [found])[0]
    course = course_for(session, found.outing_id)
    waiting = [
        sheets.log_line(row) for row in store.logs(session, outing_id=found.outing_id) if row.asked_run_id == run_id
    ]
    title = f"Logs of run {line.number}, {line.hull}"
    return _owner(title, f"/runs/{run_id}", True, pieces, waiting, course)


def outing_logs(session: Session, things: Things, outing_id: int, units: DisplayUnits) -> sheets.OwnerLogsSheet:
    """The logs of an outing. Raises NotFound."""
    day = things.thing(session, "outing", outing_id)
    found = store.logs(session, outing_id=outing_id)
    pieces = [line for row in found for line in piece_lines(session, row, store.pieces_of(session, row.id))]
    course = course_for(session, outing_id)
    return _owner(
        f"Logs of the {day.name}",
        f"/outings/{outing_id}",
        False,
        pieces,
        [sheets.log_line(row) for row in found],
        course,
    )


def _owner(
    title: str,
    back: str,
    is_run: bool,
    pieces: list[sheets.PieceLine],
    logs: list[sheets.LogLine],
    course: float,
) -> sheets.OwnerLogsSheet:
    known = Measure(course, "distance", "the marked course of this water, else 1/16 mile")
    return sheets.OwnerLogsSheet(title, back, f"{back}/logs", is_run, pieces, logs, known, MOST_BYTES // 1_000_000, {})


def log_sheet(session: Session, log_id: int, units: DisplayUnits) -> sheets.LogSheet:
    """One log. Raises NotFound."""
    row = store.log(session, log_id)
    pieces = store.pieces_of(session, log_id)
    choices = run_choices(session, row)
    values = {f"piece{piece.number}": str(piece.run_id or "") for piece in pieces}
    values["rest"] = entry_text(row.rest_s, "duration", units.unit("duration"))
    values["within"] = entry_text(row.opposite_within_s, "duration", units.unit("duration"))
    values["course"] = entry_text(row.course_m, "distance", units.unit("distance"))
    return sheets.LogSheet(
        sheets.log_line(row),
        row.sha256,
        row.size_bytes,
        row.outing_id,
        sheets.notes_of(row),
        piece_lines(session, row, pieces),
        choices,
        row.set_aside_at is not None,
        values,
    )


def cut_words(row: LogFile, units: DisplayUnits) -> str:
    """How a log is cut now, as the form asks for it."""
    duration, distance = units.unit("duration"), units.unit("distance")
    return (
        f"a rest of {show(row.rest_s, 'duration', duration)}, a course of {show(row.course_m, 'distance', distance)}"
        f" and the pass the other way within {show(row.opposite_within_s, 'duration', duration)}"
    )


def run_choices(session: Session, row: LogFile) -> list[tuple[str, str]]:
    """The runs that a piece of a log can belong to: those of its outing."""
    if row.outing_id is None:
        return []
    lines = run_lines(session, runs_of_outing(session, row.outing_id))
    return [(str(line.id), f"run {line.number}, {line.started.clock()}, {line.hull}") for line in lines]


def columns_sheet(session: Session, log_id: int, path) -> sheets.ColumnsSheet:
    """The preview of a table. Raises NotFound, UnreadableLog."""
    return sheets.columns_sheet(store.log(session, log_id), preview(path))


def hull_corners(session: Session, hull_id: int) -> corner_sheets.HullCornersSheet:
    """How a boat corners by build state. Raises NotFound."""
    hull = hull_by_id(session, hull_id)
    found = corner_store.corners_by_state(session, hull_id, limit=MOST_STATES)
    numbers = {one: text[0] for one, text in state_texts(session, [row.state_id for row in found]).items()}
    return corner_sheets.HullCornersSheet(hull_id, hull.name, corner_sheets.hull_corner_rows(found, numbers))
