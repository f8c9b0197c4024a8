"""Queries and writes of shelf entries."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import and_, literal
from sqlalchemy import select as select_columns
from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.shelf.loan_store import in_order
from garage.shelf.tables import SHELVED, Loan, ShelfEntry
from garage.things import Thing, Things


@dataclass(frozen=True)
class Kept:
    """How a thing is kept: its entry on the shelf, if one was ever written, and all its loans."""

    entry: ShelfEntry | None
    loans: Sequence[Loan]


def entry(session: Session, owner: str, owner_id: int) -> ShelfEntry | None:
    """The shelf entry of an item, if one was ever written."""
    return session.exec(select(ShelfEntry).where(ShelfEntry.owner == owner, ShelfEntry.owner_id == owner_id)).first()


def kept(session: Session, owner: str, owner_id: int) -> Kept:
    """How an item is kept, asked at once."""
    asked = select_columns(literal(owner_id).label("owner_id")).subquery()
    return kept_in(session.execute(with_keeping(select_columns(asked), owner, asked.c.owner_id)).all())


def with_keeping(query: Any, owner: str, thing_id: Any) -> Any:
    """A query of a thing of kind `owner` with how it is kept beside it, for `kept_in`."""
    entries = and_(col(ShelfEntry.owner) == owner, col(ShelfEntry.owner_id) == thing_id)
    loans = and_(col(Loan.owner) == owner, col(Loan.owner_id) == thing_id, col(Loan.set_aside_at).is_(None))
    return query.add_columns(ShelfEntry, Loan).outerjoin(ShelfEntry, entries).outerjoin(Loan, loans)


def kept_in(rows: Sequence[Any]) -> Kept:
    """How the one thing is kept that such a query asked for: a row for each of its loans, or a single one."""
    return Kept(rows[0][-2], in_order(loan for *_, loan in rows if loan is not None))


def shelved_thing(session: Session, things: Things, owner: str, owner_id: int) -> Thing:
    """The item that an entry is about. Raises NotFound."""
    if owner not in SHELVED:
        raise NotFound("Nothing of that kind lies on the shelf.")
    return things.thing(session, owner, owner_id)


def keep_entry(session: Session, owner: str, owner_id: int, form: FormData) -> ShelfEntry:
    """Write an item's entry, or write it anew. The caller has looked the item up."""
    row = entry(session, owner, owner_id) or ShelfEntry(owner=owner, owner_id=owner_id)
    row.sqlmodel_update(dict(form))
    row.low = is_low(row.quantity, row.reorder_level)
    session.add(row)
    session.flush()
    return row


def is_low(quantity: float, reorder_level: float | None) -> bool:
    """Whether it is time to buy: as many as the reorder level or fewer; never without such a level."""
    return reorder_level is not None and quantity <= reorder_level
