"""Queries and writes of outings."""

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.corrections.store import add_correction
from garage.db.among import among
from garage.errors import NotFound
from garage.moments import Moment
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
    for found in open_outings(session, limit=5):
        if Moment(found.started_at, found.offset_min).date() == at.date():
            return found
    return None


def outings_of_day(session: Session, day: Moment) -> list[int]:
    """The ids of outings on the local day of `day`."""
    midnight = day.local().replace(hour=0, minute=0, second=0)
    first, last = Moment.of(midnight).utc, Moment.of(midnight + timedelta(days=1)).utc
    found = select(Outing.id).where(Outing.started_at >= first, Outing.started_at < last)
    return [outing_id for outing_id in session.exec(found) if outing_id is not None]


@dataclass(frozen=True)
class OutingCount:
    """How many runs an outing has that count, and how many of them wait for details."""

    runs: int
    waiting: int


def run_counts(session: Session, ids: set[int]) -> dict[int, OutingCount]:
    """Counts of runs for some outings."""
    rows = session.exec(
        select(Run.outing_id, func.count(), func.sum(Run.waiting))
        .where(among(Run.outing_id, ids), col(Run.set_aside_at).is_(None))
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
    """Write an outing's facts anew: a blank filled is free, what stood there before is kept as a correction."""
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
    """Take an outing out of the list, or bring it back with None."""
    kept = outing(session, outing_id)
    kept.set_aside_at = at
    session.add(kept)
    return kept


def _columns(draft: OutingDraft) -> dict:
    facts = dict(vars(draft))
    started: Moment = facts.pop("started")
    return facts | {"started_at": started.utc, "offset_min": started.offset_min}
