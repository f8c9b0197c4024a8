"""Gathers what the pages of logs show, but for the page of one piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

from sqlmodel import Session

from garage.calc.track.measure import USUAL_COURSE_M
from garage.hulls.store import hull as hull_by_id
from garage.logs import corner_sheets, corner_store, sheets, store
from garage.logs.readers.delimited import preview
from garage.logs.readers.result import MOST_BYTES
from garage.logs.tables import LogFile, LogPiece
from garage.measures import Measure
from garage.moments import Moment
from garage.runs.lines.line import RunLine, run_lines
from garage.runs.store import run, runs_by_ids, runs_of_outing
from garage.states.store import state_texts
from garage.units import DisplayUnits, entry_text, show
from garage.waters.outing_store import outing, outings_by_id
from garage.waters.tables import Outing

MOST_STATES = 40


def known_course(session: Session, outing_id: int | None) -> Measure:
    """The course over which the speeds of a log are taken, and whose it is."""
    course_m = store.course_of_water(session, outing_id)
    origin = "the course of this water" if course_m else "1/16 mile, assumed: this water has no course"
    return Measure(course_m or USUAL_COURSE_M, "distance", origin)


def course_for(session: Session, outing_id: int | None) -> float:
    """The length of the marked course at an outing's water, else the usual one."""
    return store.course_of_water(session, outing_id) or USUAL_COURSE_M


def clock_at(row: LogFile, start_s: float, offset_min: int) -> str:
    """The time of day on the spot at some second of a log; '' if the log knows elapsed time only."""
    if row.start_unix_s is None:
        return ""
    try:
        when = datetime.fromtimestamp(row.start_unix_s + start_s, UTC)
    except (OverflowError, ValueError, OSError):
        return ""
    return when.astimezone(timezone(timedelta(minutes=offset_min))).strftime("%H:%M:%S")


def piece_lines(
    session: Session, owned: Sequence[tuple[LogPiece, LogFile]], lines: Mapping[int, RunLine] | None = None
) -> list[sheets.PieceLine]:
    """Pieces as lines, each with its log. `lines` are those of all runs they may belong to, where they are known."""
    if not owned:
        return []
    if lines is None:
        runs = runs_by_ids(session, {piece.run_id for piece, _ in owned if piece.run_id})
        lines = {line.id: line for line in run_lines(session, list(runs.values()))}
    offsets = {day.id: day.offset_min for day in _days_of(session, owned)}
    return [_piece_line(piece, row, offsets.get(row.outing_id or 0, 0), lines) for piece, row in owned]


def _days_of(session: Session, owned: Sequence[tuple[LogPiece, LogFile]]) -> list[Outing]:
    ids = {row.outing_id for _, row in owned if row.outing_id is not None}
    return list(outings_by_id(session, ids).values()) if ids else []


def _piece_line(piece: LogPiece, row: LogFile, offset_min: int, lines: Mapping[int, RunLine]) -> sheets.PieceLine:
    line = lines.get(piece.run_id or 0)
    name = f"Run {line.number}" if line else ""
    found = sheets.piece_line(piece, row, clock_at(row, piece.start_s, offset_min), name)
    return replace(found, run_flags=line.flags if line else [])


def run_logs(session: Session, run_id: int, units: DisplayUnits) -> sheets.OwnerLogsSheet:
    """The logs of a run. Raises NotFound."""
    found = run(session, run_id)
    line = run_lines(session, [found])[0]
    pieces = piece_lines(session, store.pieces_of_run(session, run_id), {run_id: line})
    course = known_course(session, found.outing_id)
    waiting = [
        sheets.log_line(row) for row in store.logs(session, outing_id=found.outing_id) if row.asked_run_id == run_id
    ]
    title = f"Logs of run {line.number} of {line.started.day()}, {line.hull}"
    return _owner(title, f"/runs/{run_id}", True, pieces, waiting, course)


def outing_logs(session: Session, outing_id: int, units: DisplayUnits) -> sheets.OwnerLogsSheet:
    """The logs of an outing. Raises NotFound."""
    day = outing(session, outing_id)
    found = store.logs(session, outing_id=outing_id)
    cut = store.pieces_of_logs(session, [row.id for row in found])
    pieces = piece_lines(session, [(piece, row) for row in found for piece in cut[row.id]])
    course = known_course(session, outing_id)
    return _owner(
        f"Logs of {Moment(day.started_at, day.offset_min).day()}",
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
    course: Measure,
) -> sheets.OwnerLogsSheet:
    return sheets.OwnerLogsSheet(title, back, f"{back}/logs", is_run, pieces, logs, course, MOST_BYTES // 1_000_000, {})


def log_sheet(session: Session, log_id: int, units: DisplayUnits) -> sheets.LogSheet:
    """One log. Raises NotFound."""
    row = store.log(session, log_id)
    pieces = store.pieces_of(session, log_id)
    lines = outing_run_lines(session, row)
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
        piece_lines(session, [(piece, row) for piece in pieces], lines),
        run_choices(lines),
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


def outing_run_lines(session: Session, row: LogFile) -> dict[int, RunLine]:
    """The runs that a piece of a log can belong to: those of its outing, by id in their order."""
    if row.outing_id is None:
        return {}
    return {line.id: line for line in run_lines(session, runs_of_outing(session, row.outing_id))}


def run_choices(lines: Mapping[int, RunLine]) -> list[tuple[str, str]]:
    """Runs to choose from."""

    def when(line: RunLine) -> str:
        return line.started.clock() if line.start_known else "start not known"

    return [(str(line.id), f"run {line.number}, {when(line)}, {line.hull}") for line in lines.values()]


def columns_sheet(session: Session, log_id: int, path) -> sheets.ColumnsSheet:
    """The preview of a table. Raises NotFound, UnreadableLog."""
    return sheets.columns_sheet(store.log(session, log_id), preview(path))


def hull_corners(session: Session, hull_id: int) -> corner_sheets.HullCornersSheet:
    """How a boat corners by build state. Raises NotFound."""
    hull = hull_by_id(session, hull_id)
    found = corner_store.corners_by_state(session, hull_id, limit=MOST_STATES)
    numbers = {one: text[0] for one, text in state_texts(session, [row.state_id for row in found]).items()}
    return corner_sheets.HullCornersSheet(hull_id, hull.name, corner_sheets.hull_corner_rows(found, numbers))
