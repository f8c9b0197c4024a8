"""Queries of build states and their changes."""

import json
from collections.abc import Iterable
from datetime import datetime
from itertools import islice

from sqlalchemy import func, or_, text
from sqlalchemy.sql.elements import ColumnElement
from sqlmodel import Session, col, select

from garage.db.in_ids import in_, rows_by_ids
from garage.errors import NotFound
from garage.hulls.store import hull
from garage.moments import Moment
from garage.states.fold import Content, read_content
from garage.states.marks import marks
from garage.states.tables import BuildState, Change, Fingerprint, Supersession

_MARKS_AT_ONCE = 11
_CURRENT = select(BuildState).from_statement(
    text("""
    SELECT build_state.* FROM json_each(:hulls) AS asked JOIN build_state ON build_state.id = (
        SELECT id FROM build_state AS latest WHERE hull_id = asked.value
               AND NOT EXISTS (SELECT 1 FROM supersession WHERE old_state_id = latest.id)
        ORDER BY made_at DESC, number DESC LIMIT 1)
""")
)


def _is_live() -> ColumnElement[bool]:
    given_way = select(Supersession.id).where(Supersession.old_state_id == BuildState.id)
    return ~given_way.exists()


def state(session: Session, state_id: int) -> BuildState:
    """One build state. Raises NotFound."""
    found = session.get(BuildState, state_id)
    if found is None:
        raise NotFound("There is no such build state in this notebook.")
    return found


def state_by_number(session: Session, hull_id: int, number: int) -> BuildState:
    """A hull's build state by its number. Raises NotFound."""
    found = session.exec(select(BuildState).where(BuildState.hull_id == hull_id, BuildState.number == number)).first()
    if found is None:
        raise NotFound(f"This hull has no build state {number}.")
    return found


def current_state(session: Session, hull_id: int) -> BuildState | None:
    """What the hull is in now; None before its first state."""
    return current_states(session, [hull_id]).get(hull_id)


def current_states(session: Session, hull_ids: Iterable[int]) -> dict[int, BuildState]:
    """What some hulls are in now, by hull; those without any state are missing."""
    rows = session.execute(_CURRENT, {"hulls": json.dumps(sorted(set(hull_ids)))})
    return {found.hull_id: found for found in rows.scalars()}


def state_at(session: Session, hull_id: int, utc: str) -> BuildState | None:
    """What the hull was in at `utc`, as known today; None before its first state.

    Between the day it was built and its first state, if that day was written down later, it was in the first.
    """
    found = _latest(session, hull_id, utc)
    if found is None:
        first = first_live_state(session, hull_id)
        return first if first and is_built(session, hull_id, utc) else None
    return found


def is_built(session: Session, hull_id: int, utc: str) -> bool:
    """Whether a hull was built by `utc`, where that day is written down."""
    built_on = hull(session, hull_id).built_on
    return bool(built_on) and local_midnight(built_on).utc <= utc


def _latest(session: Session, hull_id: int, utc: str) -> BuildState | None:
    query = select(BuildState).where(BuildState.hull_id == hull_id, _is_live(), BuildState.made_at <= utc)
    order = (col(BuildState.made_at).desc(), col(BuildState.number).desc())
    return session.exec(query.order_by(*order).limit(1)).first()


def states(session: Session, hull_id: int, *, limit: int, offset: int = 0) -> list[BuildState]:
    """A hull's states, those that gave way among them, newest number first."""
    return list(
        session.exec(
            select(BuildState)
            .where(BuildState.hull_id == hull_id)
            .order_by(col(BuildState.number).desc())
            .limit(limit)
            .offset(offset)
        )
    )


def state_dates(session: Session, hull_id: int, *, limit: int) -> list[tuple[int, Moment]]:
    """Number of a hull's states and when each was made, newest number first."""
    rows = session.exec(
        select(BuildState.number, BuildState.made_at, BuildState.offset_min)
        .where(BuildState.hull_id == hull_id)
        .order_by(col(BuildState.number).desc())
        .limit(limit)
    )
    return [(number, Moment(utc, offset_min)) for number, utc, offset_min in rows]


def live_states_after(session: Session, hull_id: int, utc: str) -> list[BuildState]:
    """The states made later than `utc` that have not given way, in order of time."""
    return list(
        session.exec(
            select(BuildState)
            .where(BuildState.hull_id == hull_id, BuildState.made_at > utc, _is_live())
            .order_by(col(BuildState.made_at), col(BuildState.number))
        )
    )


def first_live_state(session: Session, hull_id: int) -> BuildState | None:
    """The state that a hull's history begins with."""
    return session.exec(
        select(BuildState)
        .where(BuildState.hull_id == hull_id, _is_live())
        .order_by(col(BuildState.made_at), col(BuildState.number))
        .limit(1)
    ).first()


def state_content(found: BuildState) -> Content:
    """What is on the boat in a state."""
    return read_content(found.content)


def moment_of(found: BuildState) -> Moment:
    """When a state was made."""
    return Moment(found.made_at, found.offset_min)


def states_by_ids(session: Session, ids: Iterable[int]) -> dict[int, BuildState]:
    """Some build states."""
    return rows_by_ids(session, BuildState, ids)


def state_texts(session: Session, ids: Iterable[int]) -> dict[int, tuple[int, str]]:
    """Number and fingerprint of some states, by id."""
    wanted = set(ids)
    if not wanted:
        return {}
    rows = session.exec(
        select(BuildState.id, BuildState.number, BuildState.fingerprint).where(in_(BuildState.id, wanted))
    )
    return {state_id: (number, mark) for state_id, number, mark in rows if state_id is not None}


def changes_of(session: Session, state_ids: Iterable[int]) -> dict[int, list[Change]]:
    """The changes that made some states, in order, by state id."""
    rows = session.exec(
        select(Change)
        .where(col(Change.state_id).in_(list(state_ids)))
        .order_by(col(Change.state_id), col(Change.position))
    )
    found: dict[int, list[Change]] = {}
    for row in rows:
        found.setdefault(row.state_id, []).append(row)
    return found


def states_with_changes(session: Session, ids: Iterable[int]) -> list[tuple[BuildState, list[Change]]]:
    """Some build states, each with the changes that made it, in order."""
    rows = session.exec(
        select(BuildState, Change)
        .outerjoin(Change, col(Change.state_id) == BuildState.id)
        .where(in_(BuildState.id, ids))
        .order_by(col(BuildState.id), col(Change.position))
    )
    found: dict[int, tuple[BuildState, list[Change]]] = {}
    for state, change in rows:
        found.setdefault(state.id, (state, []))[1].extend([change] if change else [])
    return list(found.values())


def given_way(session: Session, state_ids: Iterable[int]) -> dict[int, Supersession]:
    """Which of some states gave way to another, and why."""
    rows = session.exec(select(Supersession).where(col(Supersession.old_state_id).in_(list(state_ids))))
    return {row.old_state_id: row for row in rows}


def successions_of(session: Session, state_id: int) -> tuple[Supersession | None, list[Supersession]]:
    """What a state gave way to, None where it did not, and which states gave way to it."""
    either = or_(col(Supersession.old_state_id) == state_id, col(Supersession.new_state_id) == state_id)
    rows = list(session.exec(select(Supersession).where(either)))
    gone = next((row for row in rows if row.old_state_id == state_id), None)
    return gone, [row for row in rows if row.new_state_id == state_id]


def states_with_fingerprint(session: Session, prefix: str, *, limit: int = 20) -> list[BuildState]:
    """The states that have or ever had a fingerprint beginning with `prefix` (hexadecimal), newest first."""
    wanted = prefix.strip().lower()
    if not wanted or any(sign not in "0123456789abcdef" for sign in wanted):
        return []
    marked = select(Fingerprint.state_id).where(
        Fingerprint.fingerprint >= wanted, Fingerprint.fingerprint < wanted + "g"
    )
    return list(
        session.exec(
            select(BuildState).where(col(BuildState.id).in_(marked)).order_by(col(BuildState.id).desc()).limit(limit)
        )
    )


def states_with_mark(session: Session, *marks: str) -> list[BuildState]:
    """The states that have or ever had one of these marks, as it is written (`as_mark`); of one mark, none or one."""
    asked = [mark for mark in marks if mark]
    bearer = select(Fingerprint.state_id).where(col(Fingerprint.mark).in_(asked))
    return list(session.exec(select(BuildState).where(col(BuildState.id).in_(bearer)))) if asked else []


def next_number_and_mark(session: Session, hull_id: int, fingerprint: str) -> tuple[int, str]:
    """The number for a hull's next state, never used twice, and the first mark of a fingerprint that no state of this
    garage has or ever had; asked for together."""
    last = select(func.max(BuildState.number)).where(BuildState.hull_id == hull_id).scalar_subquery()
    tries = marks(fingerprint)
    while True:
        some = list(islice(tries, _MARKS_AT_ONCE))
        borne = select(func.json_group_array(Fingerprint.mark)).where(col(Fingerprint.mark).in_(some)).scalar_subquery()
        number, given = session.exec(select(last, borne)).one()
        taken = set(json.loads(given))
        if free := next((mark for mark in some if mark not in taken), ""):
            return (number or 0) + 1, free


def fingerprints_of(session: Session, state_id: int) -> list[Fingerprint]:
    """Every fingerprint that a state ever had, each with its mark, oldest first."""
    return list(session.exec(select(Fingerprint).where(Fingerprint.state_id == state_id).order_by(col(Fingerprint.id))))


def local_midnight(day: str) -> Moment:
    """The beginning of a day, `YYYY-MM-DD`, where this machine stands."""
    return Moment.of(datetime.fromisoformat(day).astimezone())
