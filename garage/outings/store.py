"""What an outing and its runs have to do with each other: counts, and what may be done to the day."""

from dataclasses import dataclass

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.errors import Conflict
from garage.moments import Moment
from garage.runs.counting import COUNTS
from garage.runs.moves_store import look_again
from garage.runs.tables import Run
from garage.waters.outing_store import began, outing
from garage.waters.tables import Outing


@dataclass(frozen=True)
class OutingCount:
    """How many runs an outing has that count, and how many of them wait for details."""

    runs: int
    waiting: int


def run_counts(session: Session, ids: set[int]) -> dict[int, OutingCount]:
    """Counts of runs for some outings."""
    rows = session.exec(
        select(Run.outing_id, func.count(), func.sum(Run.waiting))
        .where(in_(Run.outing_id, ids), COUNTS)
        .group_by(col(Run.outing_id))
    )
    return {outing_id: OutingCount(runs, int(waiting or 0)) for outing_id, runs, waiting in rows}


def set_outing_aside(session: Session, outing_id: int, at: str | None) -> Outing:
    """Take an outing without runs out of the list, or bring it back with None. Raises Conflict."""
    kept = outing(session, outing_id)
    refusal = set_aside_refusal(session, outing_id) if at else ""
    if refusal:
        help_it = (f"/otherwise/outing/{outing_id}", "Or were they of another outing? It was otherwise")
        raise Conflict(refusal, help_it)
    kept.set_aside_at = at
    session.add(kept)
    return kept


def set_aside_refusal(session: Session, outing_id: int) -> str:
    """Why an outing cannot be set aside; empty when it can."""
    counted = run_counts(session, {outing_id}).get(outing_id)
    return f"It has {counted.runs} runs that count: set those aside first." if counted and counted.runs else ""


def outing_problems(session: Session, kept: Outing, started: Moment) -> dict[str, str]:
    """What a changed outing goes against: its runs stay on its day."""
    first = session.exec(select(Run).where(Run.outing_id == kept.id).order_by(col(Run.started_at)).limit(1)).first()
    if first is None or started.utc <= first.started_at and started.date() == began(kept).date():
        return {}
    ran = Moment(first.started_at, first.offset_min)
    when = f" at {ran.clock()}" if first.start_time_known else ""
    return {"started": f"Its first run was on {ran.day()}{when}: the outing began no later that day."}


def wave_runs_away(session: Session, outing_id: int, at: str) -> None:
    """Stop asking for what the runs of an outing lack."""
    for found in session.exec(select(Run).where(Run.outing_id == outing_id, Run.waiting)):
        found.waiting, found.waved_away_at = False, at
        session.add(found)


def ask_runs_again(session: Session, outing_id: int) -> None:
    """Ask again for what was waved away, as far as it is missing and measured."""
    waved = session.exec(select(Run).where(Run.outing_id == outing_id, col(Run.waved_away_at).is_not(None))).all()
    for found in waved:
        found.waved_away_at = None
        session.add(found)
    look_again(session, waved)
