"""Lines of what to try next, and the runs they came from."""

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.runs.counting import COUNTS
from garage.runs.store import run
from garage.runs.tables import Run


def next_lines(session: Session, *, done: bool, limit: int, offset: int) -> list[Run]:
    """Runs with a line to try next, newest first: those still to do, or those done."""
    state = col(Run.try_next_done_at).is_not(None) if done else col(Run.try_next_done_at).is_(None)
    # Written out and not bound, so that the index kept of these runs alone can serve.
    wanted = select(Run).where(text("run.try_next <> ''"), state, COUNTS)
    return list(session.exec(wanted.order_by(col(Run.started_at).desc()).limit(limit).offset(offset)))


def mark_tried(session: Session, run_id: int, at: str | None) -> Run:
    """Mark a line as tried, or as still to do with None. Raises NotFound."""
    kept = run(session, run_id)
    kept.try_next_done_at = at
    session.add(kept)
    return kept
