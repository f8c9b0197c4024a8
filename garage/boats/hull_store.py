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


def speeds_and_ideas(session: Session, hull_id: int, speeds: int, ideas: int) -> tuple[list[Run], list[Run]]:
    """The latest runs of a hull with a speed that counts, oldest first; and those with a line to try next that is not
    done yet, latest first."""
    has_speed, has_idea = (
        col(Run.speed_kmh).is_not(None),
        (col(Run.try_next) != "") & col(Run.try_next_done_at).is_(None),
    )
    counts = select(Run.id).where(Run.hull_id == hull_id, col(Run.set_aside_at).is_(None))
    latest = counts.order_by(col(Run.started_at).desc(), col(Run.id).desc())
    either = select(Run).where(
        col(Run.id).in_(latest.where(has_speed).limit(speeds)) | col(Run.id).in_(latest.where(has_idea).limit(ideas))
    )
    rows = list(session.exec(either.order_by(col(Run.started_at).desc(), col(Run.id).desc())))
    with_speed = [row for row in rows if row.speed_kmh is not None][:speeds]
    with_idea = [row for row in rows if row.try_next and row.try_next_done_at is None][:ideas]
    return with_speed[::-1], with_idea
