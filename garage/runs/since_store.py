"""How much a hull ran between two moments."""

from dataclasses import dataclass

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.runs.counting import COUNTS
from garage.runs.tables import Run

# More runs than this since a service say no more than "overdue"; counting stops there.
MOST_COUNTED = 500


@dataclass(frozen=True)
class RunsSince:
    """Runs that count, the minutes written for them, and how many of them have no duration."""

    runs: int
    minutes: float
    untimed: int
    is_cut: bool = False


def runs_since(session: Session, hull_id: int, from_utc: str, before_utc: str) -> RunsSince:
    """The runs of a hull that began from one moment on and before another."""
    counted = (
        select(Run.duration_s)
        .where(
            Run.hull_id == hull_id,
            Run.started_at >= from_utc,
            Run.started_at < before_utc,
            COUNTS,
        )
        .order_by(col(Run.started_at).desc())
        .limit(MOST_COUNTED)
        .subquery()
    )
    duration = counted.c.duration_s
    runs, seconds, timed = session.exec(
        select(func.count(), func.sum(duration), func.count(duration)).select_from(counted)
    ).one()
    return RunsSince(runs, (seconds or 0) / 60, runs - timed, runs >= MOST_COUNTED)
