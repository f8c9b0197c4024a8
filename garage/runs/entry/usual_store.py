"""What a boat did before: what a run that is about to be written is held against."""

from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session

from garage.runs.counting import SPOILED_SQL

MOST_RUNS = 200
_RAN = text(f"""
SELECT CASE WHEN {SPOILED_SQL} THEN NULL ELSE run.speed_kmh END, run.kind, run.speed_how, run.ways, run.cells_s
FROM run WHERE run.hull_id = :hull AND run.set_aside_at IS NULL AND run.id <> :run
ORDER BY run.started_at DESC LIMIT {MOST_RUNS}
""")


@dataclass(frozen=True)
class Ran:
    """A run of before: its speed as far as it counts, how that was read, and on how many cells."""

    speed_kmh: float | None
    kind: str
    speed_how: str
    ways: str
    cells_s: int | None


def ran_before(session: Session, hull_id: int, run_id: int = 0) -> list[Ran]:
    """The latest runs of a boat that count, but for `run_id`, in one statement."""
    return [Ran(*row) for row in session.execute(_RAN, {"hull": hull_id, "run": run_id})]
