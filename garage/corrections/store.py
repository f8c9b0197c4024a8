"""Slips mended in the open: kept beside what they mend, which is never written over."""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlmodel import Session, col, select

from garage.corrections.tables import Correction
from garage.db.in_ids import in_
from garage.moments import Moment


def corrections_of(session: Session, owner: str, ids: Iterable[int]) -> dict[int, list[Correction]]:
    """The corrections of some rows of one kind by row id, oldest first; rows without any are left out."""
    wanted = set(ids)
    if not wanted:
        return {}
    rows = session.exec(
        select(Correction)
        .where(Correction.owner == owner, in_(Correction.owner_id, wanted))
        .order_by(col(Correction.id))
    )
    found: dict[int, list[Correction]] = {}
    for row in rows:
        found.setdefault(row.owner_id, []).append(row)
    return found


def add_correction(
    session: Session, owner: str, owner_id: int, field: str, old: str, new: str, why: str, at: Moment
) -> Correction:
    """Write down that `field` of a row reads `new` where `old` stands. Texts are in storage units."""
    new_row = Correction(owner=owner, owner_id=owner_id, field=field, old=old, new=new, why=why, at=at.utc)
    session.add(new_row)
    session.flush()
    return new_row


def overlay(row: Mapping[str, Any], corrections: Iterable[Correction]) -> dict[str, Any]:
    """`row` as it should have read: the latest correction of a field wins. What is mended is text."""
    return {**row, **{correction.field: correction.new for correction in corrections}}
