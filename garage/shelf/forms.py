"""Text to a shelf entry, or messages beside the fields."""

import re
from dataclasses import dataclass

from garage.shelf.tables import ShelfEntry
from garage.web.fields import Reader

_CURRENCY = re.compile(r"[^\W\d_]{1,8}|[€$£¥₹₩₽]")


@dataclass(frozen=True)
class ShelfDraft:
    """How many there are, what one costs, where they lie."""

    quantity: float
    price: float | None
    currency: str
    place: str
    supplier: str
    reorder_level: float | None
    wished: bool
    note: str


def read_shelf(reader: Reader) -> ShelfDraft:
    """The entry typed into the form. Raises FormErrors."""
    quantity = reader.number("quantity", 0, 1_000_000, required=True)
    draft = ShelfDraft(
        quantity=quantity if quantity is not None else 0.0,
        price=reader.number("price", 0, 10_000_000),
        currency=reader.text("currency", most=8),
        place=reader.text("place", most=120),
        supplier=reader.text("supplier", most=200),
        reorder_level=reader.number("reorder_level", 0, 1_000_000),
        wished=reader.flag("wished"),
        note=reader.text("shelf_note", most=300),
    )
    if draft.currency and not _CURRENCY.fullmatch(draft.currency):
        reader.fail("currency", "Letters or a sign only, such as EUR or €.")
    if draft.price is not None and not draft.currency and "currency" not in reader.errors:
        reader.fail("currency", "In which money is the price?")
    reader.finish()
    return draft


def shelf_values(entry: ShelfEntry | None) -> dict[str, str]:
    """The texts that stand in the form."""
    if entry is None:
        return {"quantity": "1"}
    return {
        "quantity": number_text(entry.quantity),
        "price": number_text(entry.price),
        "currency": entry.currency,
        "place": entry.place,
        "supplier": entry.supplier,
        "reorder_level": number_text(entry.reorder_level),
        "wished": "yes" if entry.wished else "",
        "shelf_note": entry.note,
    }


def number_text(value: float | None) -> str:
    """A plain number without a needless `.0`; '' for None."""
    if value is None:
        return ""
    return str(int(value)) if float(value).is_integer() else repr(float(value))
