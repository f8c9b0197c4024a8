"""An item's shelf entry, as its page shows it."""

from dataclasses import dataclass
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import Fact, FieldValues, facts, values
from garage.shelf.fields import FIELDS
from garage.shelf.tables import ShelfEntry
from garage.things import Thing
from garage.units import DisplayUnits


@dataclass(frozen=True)
class ShelfSheet:
    """How many, what one costs, where they lie; `known` is False while nothing was written."""

    owner: str
    owner_id: int
    known: bool
    fields: Annotated[FieldValues, FIELDS]
    listed: list[Fact]
    quantity: str = ""
    price: str = ""
    reorder_level: str = ""
    low: bool = False
    note: str = ""


@dataclass(frozen=True)
class ShelfFormSheet:
    """The form of one entry; `retire` is the verdict on a pack that is done."""

    owner: str
    owner_id: int
    name: str
    url: str
    values: dict[str, str]
    retire: str = ""
    fields: tuple[Field, ...] = FIELDS


def shelf_sheet(owner: str, owner_id: int, entry: ShelfEntry | None) -> ShelfSheet:
    """For the field `shelf` of an item's sheet."""
    if entry is None:
        return ShelfSheet(owner, owner_id, False, values(FIELDS, ShelfEntry(owner=owner, owner_id=owner_id)), [])
    return ShelfSheet(
        owner,
        owner_id,
        known=True,
        fields=values(FIELDS, entry),
        listed=facts(FIELDS, entry),
        quantity=number_text(entry.quantity),
        price=price_text(entry.price, entry.currency),
        reorder_level=number_text(entry.reorder_level),
        low=entry.low,
        note=entry.note,
    )


def price_text(price: float | None, currency: str) -> str:
    """What one costs, with its money: `24.90 EUR`."""
    return "" if price is None else f"{price:.2f} {currency}".strip()


def number_text(value: float | None) -> str:
    """A plain number without a needless `.0`; '' for None."""
    if value is None:
        return ""
    return str(int(value)) if float(value).is_integer() else repr(float(value))


def shelf_form_sheet(item: Thing, entry: ShelfEntry | None, units: DisplayUnits, retire: str) -> ShelfFormSheet:
    """The form of an item's entry."""
    typed = fresh(FIELDS, units) if entry is None else fill(FIELDS, entry, units)
    return ShelfFormSheet(item.owner, item.id, item.name, item.url, typed, retire)
