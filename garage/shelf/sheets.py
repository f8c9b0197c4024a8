"""An item's shelf entry, as its page shows it."""

from dataclasses import dataclass

from garage.shelf.forms import number_text, shelf_values
from garage.shelf.tables import ShelfEntry
from garage.things import Thing


@dataclass(frozen=True)
class ShelfSheet:
    """How many, what one costs, where they lie; `known` is False while nothing was written."""

    owner: str
    owner_id: int
    known: bool
    quantity: str = ""
    price: str = ""
    place: str = ""
    supplier: str = ""
    reorder_level: str = ""
    wished: bool = False
    low: bool = False
    note: str = ""


@dataclass(frozen=True)
class ShelfFormSheet:
    """The form of one entry."""

    owner: str
    owner_id: int
    name: str
    url: str
    values: dict[str, str]


def shelf_sheet(owner: str, owner_id: int, entry: ShelfEntry | None) -> ShelfSheet:
    """For the field `shelf` of an item's sheet."""
    if entry is None:
        return ShelfSheet(owner, owner_id, known=False)
    return ShelfSheet(
        owner,
        owner_id,
        known=True,
        quantity=number_text(entry.quantity),
        price=price_text(entry),
        place=entry.place,
        supplier=entry.supplier,
        reorder_level=number_text(entry.reorder_level),
        wished=entry.wished,
        low=entry.low,
        note=entry.note,
    )


def price_text(entry: ShelfEntry) -> str:
    """What one costs, with its money: `24.90 EUR`."""
    return "" if entry.price is None else f"{entry.price:.2f} {entry.currency}".strip()


def shelf_form_sheet(item: Thing, entry: ShelfEntry | None) -> ShelfFormSheet:
    """The form of an item's entry."""
    return ShelfFormSheet(item.owner, item.id, item.name, item.url, shelf_values(entry))
