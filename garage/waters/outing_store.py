"""Queries and writes of outings."""

from collections.abc import Sequence
from datetime import timedelta

from sqlalchemy.sql.elements import ColumnElement
from sqlmodel import Session, col, select

from garage.corrections.store import add_corrections
from garage.db.in_ids import rows_by_ids
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.waters.tables import Outing, Water


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
    return rows_by_ids(session, Outing, ids)


def todays_open_outing(session: Session, at: Moment) -> Outing | None:
    """The open outing that began on the local day of `at`, the latest if there are several."""
    return todays_or_open_outing(session, at)[0]


def todays_or_open_outing(session: Session, at: Moment) -> tuple[Outing | None, Outing | None]:
    """The same; and where there is none, the latest outing that is open."""
    still_open = select(Outing.id).where(col(Outing.closed_at).is_(None), col(Outing.set_aside_at).is_(None))
    latest = still_open.order_by(col(Outing.started_at).desc(), col(Outing.id).desc()).limit(1)
    is_todays = col(Outing.id) == latest.where(*began_on_day_of(at)).scalar_subquery()
    either = is_todays | (col(Outing.id) == latest.scalar_subquery())
    found = {bool(todays): row for row, todays in session.exec(select(Outing, is_todays).where(either))}
    return found.get(True), None if True in found else found.get(False)


def outings_of_day(session: Session, day: Moment) -> list[int]:
    """The ids of outings on the local day of `day`."""
    found = select(Outing.id).where(*began_on_day_of(day))
    return [outing_id for outing_id in session.exec(found) if outing_id is not None]


def began_on_day_of(day: Moment) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    """Whether an outing began on the local day of `day`."""
    first, last = _day_of(day)
    return col(Outing.started_at) >= first, col(Outing.started_at) < last


def _day_of(moment: Moment) -> tuple[str, str]:
    """The local day of a moment: its midnight and the next, in UTC."""
    midnight = moment.local().replace(hour=0, minute=0, second=0)
    return Moment.of(midnight).utc, Moment.of(midnight + timedelta(days=1)).utc


def add_outing(session: Session, form: FormData, at: Moment) -> Outing:
    """Begin an outing."""
    new = Outing(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    return new


def change_outing(session: Session, outing_id: int, form: FormData, why: str, at: Moment) -> Outing:
    """Write an outing's facts anew: a blank filled is free, what stood there is kept as a correction."""
    kept = outing(session, outing_id)
    mended = []
    for name, new in form.items():
        old = getattr(kept, name)
        if old != new and old is not False and old not in (None, "") and name != "offset_min":
            mended.append((name, str(old), "" if new is None else str(new)))
        setattr(kept, name, new)
    session.add(kept)
    add_corrections(session, "outing", outing_id, mended, why, at)
    return kept


def close_outing(session: Session, outing_id: int, at: str | None) -> Outing:
    """Close an outing, or open it again with None."""
    kept = outing(session, outing_id)
    kept.closed_at = at
    session.add(kept)
    return kept


def close_outings(session: Session, ids: Sequence[int], at: str) -> list[int]:
    """Close those of some outings that are open; their ids, the oldest first."""
    found = sorted(outings_by_id(session, set(ids)).values(), key=lambda one: one.started_at)
    still_open = [one for one in found if one.closed_at is None]
    for one in still_open:
        one.closed_at = at
        session.add(one)
    return [one.id for one in still_open]


def open_before(session: Session, now: Moment, *, limit: int) -> list[tuple[Outing, Moment, str]]:
    """Outings that began before the local day of `now` and are open, the oldest first, with their waters."""
    query = select(Outing, Water.name).join(Water, col(Water.id) == Outing.water_id)
    of_past = (col(Outing.closed_at).is_(None), col(Outing.set_aside_at).is_(None), Outing.started_at < _day_of(now)[0])
    rows = session.exec(query.where(*of_past).order_by(col(Outing.started_at)).limit(limit))
    return [(found, began(found), water) for found, water in rows]


def began(found: Outing) -> Moment:
    """When an outing began."""
    return Moment(found.started_at, found.offset_min)
