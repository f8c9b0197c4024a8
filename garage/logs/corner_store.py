"""Queries of the corners of a boat by build state."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.logs.tables import LogCorner, LogFile, LogPiece
from garage.runs.tables import Run


@dataclass(frozen=True)
class StateCorners:
    """The corners of all runs on one build state, added up."""

    state_id: int
    corners: int
    runs: int
    entry_kmh: float
    lowest_kmh: float
    exit_kmh: float
    kept_percent: float
    lateral_g: float
    radius_m: float
    rating: float | None


def corners_by_state(session: Session, hull_id: int, *, limit: int) -> list[StateCorners]:
    """Mean corners of a hull by build state, the latest state first. Runs set aside do not count."""
    means = [
        func.avg(column)
        for column in (
            LogCorner.entry_kmh, LogCorner.lowest_kmh, LogCorner.exit_kmh, LogCorner.kept_percent, LogCorner.lateral_g,
            LogCorner.radius_m,
        )
    ]  # fmt: skip
    rows = session.execute(
        select(Run.state_id, func.count(), func.count(func.distinct(col(Run.id))), *means)
        .join(LogPiece, col(LogPiece.run_id) == col(Run.id))
        .join(LogCorner, col(LogCorner.piece_id) == col(LogPiece.id))
        .join(LogFile, col(LogFile.id) == col(LogPiece.log_id))
        .where(Run.hull_id == hull_id, col(Run.set_aside_at).is_(None), col(LogFile.set_aside_at).is_(None))
        .group_by(col(Run.state_id))
        .order_by(col(Run.state_id).desc())
        .limit(limit)
    ).all()
    ratings = dict(
        session.execute(
            select(Run.state_id, func.avg(Run.corner_rating))
            .where(in_(Run.state_id, [row[0] for row in rows]), col(Run.set_aside_at).is_(None))
            .group_by(col(Run.state_id))
        ).all()
    )
    names = (
        "state_id",
        "corners",
        "runs",
        "entry_kmh",
        "lowest_kmh",
        "exit_kmh",
        "kept_percent",
        "lateral_g",
        "radius_m",
    )
    return [StateCorners(**dict(zip(names, row, strict=True)), rating=ratings.get(row[0])) for row in rows]
