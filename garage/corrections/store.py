"""Mistakes mended in the open: kept beside what they mend, which is never written over."""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import or_
from sqlmodel import Session, col, select

from garage.corrections.tables import Correction
from garage.db.in_ids import in_
from garage.db.many import add_many
from garage.moments import Moment


def corrections_of(session: Session, owner: str, ids: Iterable[int]) -> dict[int, list[Correction]]:
    """The corrections of some rows of one kind by row id, oldest first; rows without any are left out."""
    return corrections_of_each(session, {owner: ids})[owner]


def corrections_of_each(session: Session, asked: Mapping[str, Iterable[int]]) -> dict[str, dict[int, list[Correction]]]:
    """The same for rows of several kinds, in one query."""
    found: dict[str, dict[int, list[Correction]]] = {owner: {} for owner in asked}
    wanted = {owner: ids for owner, ids in ((owner, set(ids)) for owner, ids in asked.items()) if ids}
    if not wanted:
        return found
    of_each = [(col(Correction.owner) == owner) & in_(Correction.owner_id, ids) for owner, ids in wanted.items()]
    for row in session.exec(select(Correction).where(or_(*of_each)).order_by(col(Correction.id))):
        found[row.owner].setdefault(row.owner_id, []).append(row)
    return found


def add_correction(
    session: Session, owner: str, owner_id: int, field: str, old: str, new: str, why: str, at: Moment
) -> Correction:
    """Write down that `field` of a row reads `new` where `old` stands. Texts are in storage units."""
    new_row = Correction(owner=owner, owner_id=owner_id, field=field, old=old, new=new, why=why, at=at.utc)
    session.add(new_row)
    session.flush()
    return new_row


def add_corrections(
    session: Session,
    owner: str,
    owner_id: int,
    mended: Iterable[tuple[str, str, str]],
    why: str,
    at: Moment,
    mending_id: int | None = None,
) -> None:
    """The same for several fields of a row, each told as field, old and new; `mending_id` is what they are part of."""
    said: dict[str, Any] = {"owner": owner, "owner_id": owner_id, "why": why, "at": at.utc, "mending_id": mending_id}
    add_many(session, [Correction(field=field, old=old, new=new, **said) for field, old, new in mended])
