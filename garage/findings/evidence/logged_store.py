"""What the logs of runs know beside the speed: distance, energy, speed kept in corners, the way of the fastest 2 s."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import func, select
from sqlmodel import Session, col

from garage.db.in_ids import in_
from garage.logs.tables import LogCorner, LogFile, LogPiece

_LEAST_CORNERS = 2
_LEAST_DISTANCE_M = 50.0


@dataclass(frozen=True)
class Logged:
    """Of the log that saw most of a run: distance, and energy by volts and current where it has both.

    `heading_deg` is where she went (from north) in the fastest 2 s of it.
    """

    distance_m: float
    energy_wh: float | None
    heading_deg: float | None


def logged_of(session: Session, run_ids: Iterable[int]) -> dict[int, Logged]:
    """What the logs tell of these runs; logs set aside do not count, nor do runs of less than 50 m."""
    part = {name: func.json_extract(col(LogPiece.found), f"$.{name}") for name in ("distance_m", "energy_wh")}
    # SQLite takes the heading from the very row that holds the largest speed.
    heading = func.json_extract(col(LogPiece.found), "$.top_heading_deg")
    rows = session.execute(
        select(
            col(LogPiece.run_id),
            func.sum(part["distance_m"]),
            func.sum(part["energy_wh"]),
            func.count(part["energy_wh"]) == func.count(),
            heading,
            func.max(func.coalesce(col(LogPiece.top_kmh), 0.0)),
        )
        .join(LogFile, col(LogFile.id) == col(LogPiece.log_id))
        .where(in_(LogPiece.run_id, run_ids), col(LogFile.set_aside_at).is_(None))
        .group_by(col(LogPiece.run_id), col(LogPiece.log_id))
    )
    found: dict[int, Logged] = {}
    for run_id, distance_m, energy_wh, is_whole, heading_deg, _ in rows:
        seen = Logged(distance_m or 0.0, energy_wh if is_whole else None, heading_deg)
        if seen.distance_m >= _LEAST_DISTANCE_M and (run_id not in found or _tells_more(seen, found[run_id])):
            found[run_id] = seen
    return found


def _tells_more(one: Logged, other: Logged) -> bool:
    return (one.energy_wh is not None, one.distance_m) > (other.energy_wh is not None, other.distance_m)


def corners_kept(session: Session, run_ids: Iterable[int]) -> dict[int, float]:
    """Mean speed kept in the corners of these runs, in percent of the speed before each; two corners at least."""
    rows = session.execute(
        select(col(LogPiece.run_id), func.avg(col(LogCorner.kept_percent)))
        .join(LogCorner, col(LogCorner.piece_id) == col(LogPiece.id))
        .join(LogFile, col(LogFile.id) == col(LogPiece.log_id))
        .where(in_(LogPiece.run_id, run_ids), col(LogFile.set_aside_at).is_(None), col(LogCorner.kept_percent) > 0)
        .group_by(col(LogPiece.run_id))
        .having(func.count() >= _LEAST_CORNERS)
    )
    return {run_id: float(kept) for run_id, kept in rows}
