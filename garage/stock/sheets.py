"""What the pages of this room show."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import Fact, FieldValues, facts, values
from garage.photos.sheets import Attached, attached
from garage.photos.tables import Attachment
from garage.shelf.fields import FIELDS as SHELF_FIELDS
from garage.shelf.sheets import ShelfSheet, number_text, price_text, shelf_sheet
from garage.shelf.tables import ShelfEntry
from garage.stock.fields import FIELDS
from garage.stock.shelf_store import Money, Shelved
from garage.stock.tables import Supply
from garage.units import DisplayUnits

# The folder of each kind's pages.
_ADDRESSES = {"prop": "/props", "pack": "/packs", "part": "/drives", "supply": "/stock/supplies"}


@dataclass(frozen=True)
class ShelfLine:
    """One item on the shelf."""

    kind: str
    code: str
    name: str
    url: str
    edit_url: str
    fields: FieldValues
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


@dataclass(frozen=True)
class SupplyLine:
    """One supply in the list."""

    id: int
    fields: FieldValues
    retired_on: str


@dataclass(frozen=True)
class SupplyListSheet:
    """Supplies in use, or those no longer bought."""

    rows: list[SupplyLine]
    retired: bool
    page: int
    more: bool


@dataclass(frozen=True)
class SupplyFormSheet:
    """The form of a supply; `supply_id` is None for a new one."""

    supply_id: int | None
    name: str
    values: dict[str, str]
    fields: tuple[Field, ...] = FIELDS


@dataclass(frozen=True)
class SupplySheet:
    """One supply."""

    supply: SupplyLine
    listed: list[Fact]
    notes: str
    shelf: ShelfSheet
    attached: Attached


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
    return MoneyLine(
        f"{total} {found.currency}".strip(), f"computed: price of one × how many, {items} in use"
    )


def supply_line(supply: Supply) -> SupplyLine:
    """One supply as a line."""
    return SupplyLine(supply.id, values(FIELDS, supply), supply.retired_on)


def supply_list_sheet(supplies: Sequence[Supply], *, retired: bool, page: int, limit: int) -> SupplyListSheet:
    """The list; `supplies` holds one more than `limit` if there is a further page."""
    rows = [supply_line(supply) for supply in supplies[:limit]]
    return SupplyListSheet(rows, retired, page, len(supplies) > limit)


def new_supply_sheet(code: str, units: DisplayUnits) -> SupplyFormSheet:
    """The form of a new supply."""
    return SupplyFormSheet(None, "", {"code": code} | fresh(FIELDS, units))


def supply_form_sheet(supply: Supply, units: DisplayUnits) -> SupplyFormSheet:
    """The form of a supply already written down."""
    return SupplyFormSheet(supply.id, supply.name, fill(FIELDS, supply, units))


def supply_sheet(supply: Supply, entry: ShelfEntry | None, rows: Sequence[Attachment]) -> SupplySheet:
    """The page of one supply."""
    shelf, files = shelf_sheet("supply", supply.id, entry), attached("supply", supply.id, rows)
    return SupplySheet(supply_line(supply), facts(FIELDS, supply), supply.notes, shelf, files)
