"""What the shelf page shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from garage.fields.showing import FieldValues, values
from garage.shelf.fields import FIELDS as SHELF_FIELDS
from garage.shelf.sheets import number_text, price_text
from garage.stock.shelf_store import Money, Shelved

# The folder of each kind's pages.
_ADDRESSES = {"hull": "/hulls", "prop": "/props", "pack": "/packs", "part": "/drives", "supply": "/stock/supplies"}


@dataclass(frozen=True)
class ShelfLine:
    """One item on the shelf."""

    kind: str
    code: str
    name: str
    url: str
    edit_url: str
    fields: Annotated[FieldValues, SHELF_FIELDS]
    quantity: str
    counted_in: str
    price: str
    reorder_level: str
    low: bool
    note: str
    retire: str = ""


@dataclass(frozen=True)
class MoneyLine:
    """What the things on the shelf cost in one kind of money."""

    total: str
    origin: str


@dataclass(frozen=True)
class StockSheet:
    """What is low, what is wished for, and everything by place (`rows`)."""

    low: list[ShelfLine]
    low_more: bool
    wished: list[ShelfLine]
    wished_more: bool
    rows: list[ShelfLine]
    money: list[MoneyLine]
    page: int
    more: bool


def stock_sheet(
    low: Sequence[Shelved],
    wished: Sequence[Shelved],
    rows: Sequence[Shelved],
    money: Sequence[Money],
    *,
    most: int,
    page: int,
    limit: int,
) -> StockSheet:
    """The shelf page. `low` and `wished` hold one more than `most` if there are more, `rows` than `limit`."""
    return StockSheet(
        [shelf_line(found) for found in low[:most]],
        len(low) > most,
        [shelf_line(found) for found in wished[:most]],
        len(wished) > most,
        [shelf_line(found) for found in rows[:limit]],
        [money_line(found) for found in money],
        page,
        len(rows) > limit,
    )


def shelf_line(found: Shelved) -> ShelfLine:
    """One item as a line."""
    entry = found.entry
    return ShelfLine(
        kind=entry.owner,
        code=found.code,
        name=found.name,
        url=f"{_ADDRESSES[entry.owner]}/{entry.owner_id}",
        edit_url=f"/shelf/{entry.owner}/{entry.owner_id}",
        fields=values(SHELF_FIELDS, entry),
        quantity=number_text(entry.quantity),
        counted_in=found.counted_in,
        price=price_text(entry.price, entry.currency),
        reorder_level=number_text(entry.reorder_level),
        low=entry.low,
        note=entry.note,
        retire=found.retire,
    )


def money_line(found: Money) -> MoneyLine:
    """The total in words with what it was computed from."""
    items = "1 item" if found.items == 1 else f"{found.items} items"
    total = f"{found.total:,.2f}".replace(",", "\u202f")
    return MoneyLine(f"{total} {found.currency}".strip(), f"computed: price of one × how many, {items} in use")
