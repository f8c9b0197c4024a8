"""What a boat did before: what a run that is about to be written is held against."""

from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session

from garage.runs.counting import SPOILED_SQL

MOST_RUNS = 200
_RAN = text(f"""
SELECT run.id, CASE WHEN {SPOILED_SQL} THEN NULL ELSE run.speed_kmh END, run.kind, run.speed_how, run.ways, run.cells_s
FROM run WHERE run.hull_id = :hull AND run.set_aside_at IS NULL
ORDER BY run.started_at DESC LIMIT {MOST_RUNS}
""")


@dataclass(frozen=True)
class Ran:
    """A run of before: its speed as far as it counts, how that was read, and on how many cells."""

    id: int
    speed_kmh: float | None
    kind: str
    speed_how: str
    ways: str
    cells_s: int | None


def ran_before(session: Session, hull_id: int) -> list[Ran]:
    """The latest runs of a boat that were not set aside, in one statement."""
    return [Ran(*row) for row in session.execute(_RAN, {"hull": hull_id})]
