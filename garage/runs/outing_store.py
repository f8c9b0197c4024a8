"""Queries and writes of outings."""

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.corrections.store import add_correction
from garage.db.among import among
from garage.errors import Conflict, NotFound
from garage.moments import Moment
from garage.runs.counting import COUNTS
from garage.runs.drafts import OutingDraft
from garage.runs.tables import Outing, Run


def outing(session: Session, outing_id: int) -> Outing:
    """One outing. Raises NotFound."""
    found = session.get(Outing, outing_id)
    if found is None:
        raise NotFound("There is no such outing in this notebook.")
    return found


def outings(session: Session, *, limit: int = 50, offset: int = 0) -> list[Outing]:
    """Outings, newest first; those set aside are left out."""
    newest = select(Outing).where(col(Outing.set_aside_at).is_(None))
    newest = newest.order_by(col(Outing.started_at).desc(), col(Outing.id).desc())
    return list(session.exec(newest.limit(limit).offset(offset)))


def outings_by_id(session: Session, ids: set[int]) -> dict[int, Outing]:
    """Some outings."""
    rows = session.exec(select(Outing).where(among(Outing.id, ids)))
    return {row.id: row for row in rows if row.id is not None}


def open_outings(session: Session, *, limit: int = 10) -> list[Outing]:
    """Outings not closed yet, newest first."""
    found = select(Outing).where(col(Outing.closed_at).is_(None), col(Outing.set_aside_at).is_(None))
    return list(session.exec(found.order_by(col(Outing.started_at).desc()).limit(limit)))


def todays_open_outing(session: Session, at: Moment) -> Outing | None:
    """The open outing that began on the local day of `at`, the latest if there are several."""
    first, last = _day_of(at)
    found = select(Outing).where(Outing.started_at >= first, Outing.started_at < last)
    newest = found.order_by(col(Outing.started_at).desc(), col(Outing.id).desc())
    return next((day for day in session.exec(newest) if not day.closed_at and not day.set_aside_at), None)


def outings_of_day(session: Session, day: Moment) -> list[int]:
    """The ids of outings on the local day of `day`."""
    first, last = _day_of(day)
    found = select(Outing.id).where(Outing.started_at >= first, Outing.started_at < last)
    return [outing_id for outing_id in session.exec(found) if outing_id is not None]


def _day_of(moment: Moment) -> tuple[str, str]:
    """The local day of a moment: its midnight and the next, in UTC."""
    midnight = moment.local().replace(hour=0, minute=0, second=0)
    return Moment.of(midnight).utc, Moment.of(midnight + timedelta(days=1)).utc


@dataclass(frozen=True)
class OutingCount:
    """How many runs an outing has that count, and how many of them wait for details."""

    runs: int
    waiting: int


def run_counts(session: Session, ids: set[int]) -> dict[int, OutingCount]:
    """Counts of runs for some outings."""
    rows = session.exec(
        select(Run.outing_id, func.count(), func.sum(Run.waiting))
        .where(among(Run.outing_id, ids), COUNTS)
        .group_by(col(Run.outing_id))
    )
    return {outing_id: OutingCount(runs, int(waiting or 0)) for outing_id, runs, waiting in rows}


def add_outing(session: Session, draft: OutingDraft, at: Moment) -> Outing:
    """Begin an outing."""
    new = Outing(**_columns(draft), created_at=at.utc)
    session.add(new)
    session.flush()
    return new


def change_outing(session: Session, outing_id: int, draft: OutingDraft, why: str, at: Moment) -> Outing:
    """Write an outing's facts anew: a blank filled is free, what stood there is kept as a correction."""
    kept = outing(session, outing_id)
    for name, new in _columns(draft).items():
        old = getattr(kept, name)
        if old != new and old not in (None, "") and name != "offset_min":
            add_correction(
                session, "outing", outing_id, name, str(old), "" if new is None else str(new), why, at
            )
        setattr(kept, name, new)
    session.add(kept)
    return kept


def close_outing(session: Session, outing_id: int, at: str | None) -> Outing:
    """Close an outing, or open it again with None."""
    kept = outing(session, outing_id)
    kept.closed_at = at
    session.add(kept)
    return kept


def set_outing_aside(session: Session, outing_id: int, at: str | None) -> Outing:
    """Take an outing without runs out of the list, or bring it back with None. Raises Conflict."""
    kept = outing(session, outing_id)
    refusal = set_aside_refusal(session, outing_id) if at else ""
    if refusal:
        raise Conflict(refusal)
    kept.set_aside_at = at
    session.add(kept)
    return kept


def set_aside_refusal(session: Session, outing_id: int) -> str:
    """Why an outing cannot be set aside; empty when it can."""
    counted = run_counts(session, {outing_id}).get(outing_id)
    return (
        f"It has {counted.runs} runs that count: set those aside first." if counted and counted.runs else ""
    )


def began(found: Outing) -> Moment:
    """When an outing began."""
    return Moment(found.started_at, found.offset_min)


def outing_problems(session: Session, kept: Outing, draft: OutingDraft) -> dict[str, str]:
    """What a changed outing goes against: its runs stay on its day."""
    first = session.exec(
        select(Run).where(Run.outing_id == kept.id).order_by(col(Run.started_at)).limit(1)
    ).first()
    if first is None or draft.started.utc <= first.started_at and draft.started.date() == began(kept).date():
        return {}
    ran = Moment(first.started_at, first.offset_min)
    return {
        "started": f"Its first run was on {ran.day()} at {ran.clock()}: the outing began no later that day."
    }


def wave_runs_away(session: Session, outing_id: int, at: str) -> None:
    """Stop asking for what the runs of an outing lack."""
    for found in session.exec(select(Run).where(Run.outing_id == outing_id, Run.waiting)):
        found.waiting, found.waved_away_at = False, at
        session.add(found)


def ask_runs_again(session: Session, outing_id: int) -> None:
    """Ask again for what was waved away."""
    waved = select(Run).where(Run.outing_id == outing_id, col(Run.waved_away_at).is_not(None))
    for found in session.exec(waved):
        found.waiting, found.waved_away_at = found.set_aside_at is None, None
        session.add(found)


def _columns(draft: OutingDraft) -> dict:
    facts = dict(vars(draft))
    started: Moment = facts.pop("started")
    return facts | {"started_at": started.utc, "offset_min": started.offset_min}
