"""How a thing is kept, as its page shows it: its entry on the shelf, what it cost, who has it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import Facts, FieldValues, facts, values
from garage.photos.sheets import AttachedItem, attached_item
from garage.photos.tables import Attachment
from garage.shelf.fields import FIELDS, fields_of_kind
from garage.shelf.lending import LoanLine, lending
from garage.shelf.store import Kept
from garage.shelf.tables import LENDABLE, Loan, ShelfEntry
from garage.things import Thing
from garage.units import DisplayUnits


@dataclass(frozen=True, kw_only=True)
class Keeping:
    """Where a thing lies, what it cost and who has it, for `shelf/_keeping.html`; `change` is where that is written."""

    owner: str
    owner_id: int
    change: str
    listed: Facts
    quantity: str = ""
    low: bool = False
    price: str
    can_be_lent: bool
    lent: str
    loans: list[LoanLine]
    receipts: list[AttachedItem]


@dataclass(frozen=True, kw_only=True)
class ShelfSheet(Keeping):
    """The same of an item with an entry on the shelf; `known` is False while nothing was written."""

    known: bool
    fields: Annotated[FieldValues, FIELDS]
    reorder_level: str
    note: str


@dataclass(frozen=True)
class ShelfFormSheet:
    """The form of one entry; `retire` is the verdict on a pack that is done."""

    owner: str
    owner_id: int
    name: str
    url: str
    values: dict[str, str]
    retire: str
    fields: tuple[Field, ...]


def keeping(
    owner: str,
    row: Any,
    fields: Iterable[Field],
    loans: Sequence[Loan],
    receipts: Sequence[Attachment],
    today: str,
    *,
    change: str,
) -> Keeping:
    """How a thing is kept whose own `row` has the `fields` of that."""
    told = lending(loans, today, waited_for=not row.retired_on)
    return Keeping(
        owner=owner,
        owner_id=row.id,
        change=change,
        listed=facts(fields, row),
        price=price_text(row.price, row.currency),
        can_be_lent=owner in LENDABLE and not row.retired_on,
        lent=told.lent,
        loans=told.loans,
        receipts=[attached_item(row) for row in receipts],
    )


def shelf_sheet(
    owner: str, owner_id: int, kept: Kept, receipts: Sequence[Attachment], today: str, *, retired: bool
) -> ShelfSheet:
    """How an item is kept that has an entry on the shelf, for the field `shelf` of its sheet."""
    entry, told = kept.entry or ShelfEntry(owner=owner, owner_id=owner_id), lending(kept.loans, today, not retired)
    return ShelfSheet(
        owner=owner,
        owner_id=owner_id,
        change=f"/shelf/{owner}/{owner_id}",
        listed=facts(FIELDS, entry),
        price=price_text(entry.price, entry.currency),
        can_be_lent=owner in LENDABLE and not retired,
        lent=told.lent,
        loans=told.loans,
        receipts=[attached_item(row) for row in receipts],
        known=kept.entry is not None,
        fields=values(FIELDS, entry),
        quantity=number_text(entry.quantity) if kept.entry and owner != "hull" else "",
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
    fields = fields_of_kind(item.owner)
    typed = fresh(fields, units) if entry is None else fill(fields, entry, units)
    return ShelfFormSheet(item.owner, item.id, item.name, item.url, typed, retire, fields)
