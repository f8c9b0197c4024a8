"""What was run on build states: how many runs, and their speeds by how they are known."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import func, text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.runs.counting import does_not_count
from garage.runs.denied_store import is_denied
from garage.runs.not_known import state_not_known_sql
from garage.runs.tables import Run


@dataclass(frozen=True)
class SpeedGroup:
    """Speeds of one state that are known in the same way and so may be set side by side: km/h, s, m."""

    speed_how: str
    averaging_s: float | None
    ways: str
    course_m: float | None
    cells_s: int | None
    runs: int
    mean_kmh: float
    best_kmh: float


def run_counts(session: Session, state_ids: Iterable[int]) -> dict[int, int]:
    """How many runs rest on some states, those set aside among them."""
    rows = session.exec(
        select(Run.state_id, func.count(col(Run.id))).where(in_(Run.state_id, state_ids)).group_by(col(Run.state_id))
    )
    return dict(rows.all())


def speed_groups(session: Session, state_id: int) -> list[SpeedGroup]:
    """The speeds made on a state, one group for each way of knowing them, the most runs first.

    Left out are runs that were set aside, whose speed an incident spoiled or their log denies, or whose build state
    nobody knows.
    """
    known_by = (Run.speed_how, Run.averaging_s, Run.ways, Run.course_m, Run.cells_s)
    count = func.count(col(Run.id))
    rows = session.exec(
        select(*known_by, count, func.avg(Run.speed_kmh), func.max(Run.speed_kmh))  # type: ignore[call-overload]
        .where(
            Run.state_id == state_id,
            col(Run.speed_kmh).is_not(None),
            col(Run.set_aside_at).is_(None),
            ~does_not_count(),
            ~is_denied(),
            text(f"NOT {state_not_known_sql('run')}"),
        )
        .group_by(*known_by)
        .order_by(count.desc(), *known_by)
    )
    return [SpeedGroup(*row) for row in rows]
