"""What lies on the shelf, over all kinds of items: what is low, what is wished for, where things are."""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, and_, func, or_
from sqlmodel import Session, col, select

from garage.drives.tables import Part
from garage.hulls.tables import Hull
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.props.tables import Prop
from garage.shelf.tables import ShelfEntry
from garage.stock.tables import Supply

_ITEMS: tuple[tuple[str, Any], ...] = (
    ("hull", Hull),
    ("prop", Prop),
    ("pack", Pack),
    ("part", Part),
    ("supply", Supply),
)


@dataclass(frozen=True)
class Shelved:
    """A shelf entry with the names of its item, and the verdict on it if it is a pack."""

    entry: ShelfEntry
    code: str
    name: str
    counted_in: str
    retire: str = ""


@dataclass(frozen=True)
class Money:
    """What things in use cost in one kind of money: the sum of price times quantity over `items` of them."""

    currency: str
    total: float
    items: int


def low_items(session: Session, *, limit: int) -> list[Shelved]:
    """Items in use of which there are as many as their reorder level or fewer."""
    return _shelved(session, col(ShelfEntry.low).is_(True), limit, 0)


def wished_items(session: Session, *, limit: int) -> list[Shelved]:
    """Items in use on the wish list."""
    return _shelved(session, col(ShelfEntry.wished).is_(True), limit, 0)


def items_by_place(session: Session, *, limit: int, offset: int = 0) -> list[Shelved]:
    """Every item in use with a shelf entry, by place."""
    return _shelved(session, None, limit, offset)


def spent(session: Session) -> list[Money]:
    """What the items in use cost, for each kind of money."""
    query = (
        select(
            ShelfEntry.currency,
            func.sum(col(ShelfEntry.price) * col(ShelfEntry.quantity)),
            func.count(),
        )
        .where(col(ShelfEntry.price).is_not(None), _in_use())
        .group_by(col(ShelfEntry.currency))
        .order_by(col(ShelfEntry.currency))
    )
    return [Money(*row) for row in session.exec(_joined(query))]


def _shelved(session: Session, which: ColumnElement[bool] | None, limit: int, offset: int) -> list[Shelved]:
    columns = (
        ShelfEntry,
        func.coalesce(Hull.name, Prop.code, Pack.code, Part.code, Supply.code),
        func.coalesce(Hull.kind, Prop.printed_name, Pack.name, func.trim(Part.kind + " " + Part.name), Supply.name),
        func.coalesce(Supply.counted_in, ""),
    )
    query = _joined(select(*columns)).where(_in_use())
    if which is not None:
        query = query.where(which)
    query = query.order_by(col(ShelfEntry.place), col(ShelfEntry.id)).limit(limit).offset(offset)
    rows = session.exec(query).all()
    packs = [entry.owner_id for entry, *_ in rows if entry.owner == "pack"]
    retire = retire_words(session, packs) if packs else {}
    return [
        Shelved(entry, code, name, counted_in, retire.get(entry.owner_id, "") if entry.owner == "pack" else "")
        for entry, code, name, counted_in in rows
    ]


def _joined(query: Any) -> Any:
    for owner, table in _ITEMS:
        query = query.outerjoin(table, and_(col(ShelfEntry.owner) == owner, table.id == col(ShelfEntry.owner_id)))
    return query


def _in_use() -> ColumnElement[bool]:
    return or_(*(col(table.retired_on) == "" for _, table in _ITEMS))
