"""What a log of a run measured of its drive while it was fastest: shaft speed, volts and amps over its best 2 s."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlmodel import Session, col, select

from garage.calc.track.drive import mean_between
from garage.db.in_ids import in_
from garage.logs.pieces.gather import looked_at
from garage.logs.store import pieces_of_run
from garage.logs.tables import LogChannel, LogPiece

_DRIVE = ("shaft_rpm", "voltage_v", "current_a")
_KMH_PER_MS = 3.6


@dataclass(frozen=True)
class LoggedDrive:
    """Means over the best 2 s of the fastest piece; None where the log has no such column."""

    log: str
    speed_kmh: float
    shaft_rpm: float | None
    voltage_v: float | None
    current_a: float | None


def with_shaft_speed(session: Session, run_ids: Iterable[int]) -> set[int]:
    """Which of some runs have a log with the shaft speed in it, in one query."""
    asked = (
        select(LogPiece.run_id)
        .join(LogChannel, col(LogChannel.log_id) == col(LogPiece.log_id))
        .where(in_(col(LogPiece.run_id), run_ids), LogChannel.name == "shaft_rpm")
    )
    return {run_id for run_id in session.exec(asked) if run_id is not None}


def logged_drive(session: Session, run_id: int) -> LoggedDrive | None:
    """The drive in the fastest piece of the run's logs that has any of it, one with a shaft speed before any other;
    None without such a log."""
    pieces = [one for one in pieces_of_run(session, run_id) if one[0].top_kmh is not None]
    ids = {log.id for _, log in pieces}
    asked = (
        select(LogChannel.log_id, LogChannel.name)
        .where(in_(col(LogChannel.log_id), ids), col(LogChannel.name).in_(_DRIVE))
        .distinct()
    )
    told = set(session.exec(asked))
    turning = {log_id for log_id, name in told if name == "shaft_rpm"}
    with_drive = {log_id for log_id, _ in told}
    pieces = [one for one in pieces if one[1].id in with_drive]
    if not pieces:
        return None
    piece, log = max(pieces, key=lambda one: (one[1].id in turning, one[0].top_kmh or 0.0))
    looked = looked_at(session, log, piece)
    top = looked.measures.top
    if top is None:
        return None
    rpm, volts, amps = (mean_between(looked.track, name, top.start_s, top.end_s) for name in _DRIVE)
    return LoggedDrive(log.name, top.speed_ms * _KMH_PER_MS, rpm, volts, amps)
