"""A log cut into runs at the rests, each piece measured and offered to the run it belongs to by time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from sqlmodel import Session

from garage.calc.arrays import np
from garage.calc.track.cleaning import clean
from garage.calc.track.course import course_of
from garage.calc.track.cuts import runs_between_rests
from garage.calc.track.drive import load_of, lowest_under_load_v
from garage.calc.track.measure import Looked, Measures, look_at
from garage.calc.track.motion import motion_of
from garage.calc.track.track import Track
from garage.logs.denied import denied_kmh, note_denied
from garage.logs.store import Measured, keep_measures, pieces_of, restored_of, track_of, write_pieces
from garage.logs.tables import LogFile, LogPiece, LogRestored
from garage.logs.track_json import track_json
from garage.runs.store import runs_of_outing
from garage.runs.tables import Run

# A run whose start is written within this of a piece is taken to be that piece.
_NEAR_S = 600.0


def look_at_part(
    row: LogFile, track: Track, brought_back: Sequence[LogRestored], start_s: float, end_s: float
) -> Looked:
    """Measure a part of a log; `brought_back` are the samples that a person lets count."""
    with np.errstate(invalid="ignore"):
        inside = np.flatnonzero((track.time_s >= start_s) & (track.time_s <= end_s))
    chosen = [
        int(at)
        for one in brought_back
        for at in np.flatnonzero((inside >= one.first_sample) & (inside <= one.last_sample))
    ]
    return look_at(track.part(start_s, end_s), row.course_m, limit_s=row.opposite_within_s, restored=chosen)


def cut_anew(session: Session, row: LogFile) -> list[LogPiece]:
    """Cut a log at its rests and measure each piece; a log asked for one run stays whole for that run."""
    track, brought_back = track_of(session, row), restored_of(session, row.id)
    spans = _whole(track)
    motion = motion_of(track, clean(track)) if row.asked_run_id is None else None
    if motion is not None:
        spans = runs_between_rests(motion, course_of(motion), row.rest_s) or spans
    measured = [
        Measured(start, end, worth_keeping(look_at_part(row, track, brought_back, start, end))) for start, end in spans
    ]
    pieces = write_pieces(session, row.id, measured)
    _offer(session, row, pieces)
    note_denied(session, row, pieces)
    return pieces


def _whole(track: Track) -> list[tuple[float, float]]:
    known = track.time_s[np.isfinite(track.time_s)]
    return [(float(known.min()), float(known.max()))] if len(known) else []


def measure_anew(session: Session, row: LogFile) -> None:
    """Measure the pieces of a log again, after samples were brought back or the course was changed."""
    track, brought_back = track_of(session, row), restored_of(session, row.id)
    pieces = pieces_of(session, row.id)
    for piece in pieces:
        looked = look_at_part(row, track, brought_back, piece.start_s, piece.end_s)
        keep_measures(session, piece, worth_keeping(looked))
    note_denied(session, row, pieces)


def worth_keeping(looked: Looked) -> dict[str, Any]:
    """What a piece keeps of what was measured in it, so that no page has to read its samples for that."""
    lowest_v, energy_wh = lowest_under_load_v(looked.track), load_of(looked.track).energy_wh
    return track_json(looked.measures) | {
        "lowest_v": None if lowest_v is None else round(lowest_v, 3),
        "energy_wh": None if energy_wh is None else round(energy_wh, 4),
        "top_heading_deg": _heading_of_top(looked.measures),
        "denied_kmh": denied_kmh(looked.measures),
    }


def _heading_of_top(found: Measures) -> float | None:
    """Which way she went while the headline speed was made, in degrees from north; None outside a straight pass."""
    if found.top is None:
        return None
    middle = (found.top.start_s + found.top.end_s) / 2
    headings = [one.heading_deg for one in found.passes if one.start_s <= middle <= one.end_s]
    return round(headings[0], 1) if headings and headings[0] is not None else None


def _offer(session: Session, row: LogFile, pieces: Sequence[LogPiece]) -> None:
    """Give pieces without a run the one that was asked for, or that began nearest in time."""
    if row.asked_run_id is not None:
        for piece in pieces:
            piece.run_id = piece.run_id or row.asked_run_id
            session.add(piece)
    elif row.outing_id is not None:
        taken = {piece.run_id for piece in pieces if piece.run_id}
        runs = [run for run in runs_of_outing(session, row.outing_id) if not run.set_aside_at and run.id not in taken]
        for piece, run_id in matched(row.start_unix_s, [one for one in pieces if not one.run_id], runs):
            piece.run_id = run_id
            session.add(piece)
    session.flush()


def matched(start_unix_s: float | None, pieces: Sequence[LogPiece], runs: Sequence[Run]) -> list[tuple[LogPiece, int]]:
    """Pairs of piece and run: by time where both are known, nearest first; else in order if there are as many."""
    timed = [run for run in runs if run.start_time_known]
    pairs: list[tuple[LogPiece, int]] = []
    if start_unix_s is not None:
        distances = sorted(
            (abs(start_unix_s + piece.start_s - _unix_s(run)), piece.number, at)
            for piece in pieces
            for at, run in enumerate(timed)
        )
        by_number = {piece.number: piece for piece in pieces}
        used_pieces: set[int] = set()
        used_runs: set[int] = set()
        for distance, number, at in distances:
            if distance > _NEAR_S or number in used_pieces or at in used_runs:
                continue
            used_pieces.add(number)
            used_runs.add(at)
            pairs.append((by_number[number], timed[at].id or 0))
    if not pairs and len(pieces) == len(runs):
        ordered = sorted(runs, key=lambda run: run.number)
        pairs = [(piece, run.id) for piece, run in zip(pieces, ordered, strict=True)]
    return pairs


def _unix_s(run: Run) -> float:
    return datetime.strptime(run.started_at, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC).timestamp()
