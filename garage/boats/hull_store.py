"""Bounded queries that the hull's page needs of runs and plans."""

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.hulls.tables import Hull
from garage.runs.tables import Run
from garage.shelf.store import Kept, kept_in, with_keeping

# Beyond this a number of runs is only said to be larger.
COUNTED_RUNS = 1000
_COUNT = text("SELECT count(*) FROM (SELECT 1 FROM run WHERE hull_id = :hull_id LIMIT :most)")


def hull_kept(session: Session, hull_id: int) -> tuple[Hull, Kept]:
    """A hull with how she is kept, asked at once. Raises NotFound."""
    rows = session.execute(with_keeping(select(Hull), "hull", col(Hull.id)).where(Hull.id == hull_id)).all()
    if not rows:
        raise NotFound("There is no such hull in this notebook.")
    return rows[0][0], kept_in(rows)


def run_count(session: Session, hull_id: int) -> int:
    """How many runs a hull made, counted up to COUNTED_RUNS + 1."""
    return session.execute(_COUNT, {"hull_id": hull_id, "most": COUNTED_RUNS + 1}).scalar() or 0


def latest_speeds(session: Session, hull_id: int, limit: int) -> list[Run]:
    """The latest runs of a hull with a speed that counts, oldest first."""
    query = (
        select(Run)
        .where(Run.hull_id == hull_id, col(Run.speed_kmh).is_not(None), col(Run.set_aside_at).is_(None))
        .order_by(col(Run.started_at).desc(), col(Run.id).desc())
        .limit(limit)
    )
    return list(session.exec(query))[::-1]


def open_try_next(session: Session, hull_id: int, limit: int) -> list[Run]:
    """Runs of a hull with a line to try next that is not done yet, latest first."""
    query = (
        select(Run)
        .where(
            Run.hull_id == hull_id,
            Run.try_next != "",
            col(Run.try_next_done_at).is_(None),
            col(Run.set_aside_at).is_(None),
        )
        .order_by(col(Run.started_at).desc())
        .limit(limit)
    )
    return list(session.exec(query))
