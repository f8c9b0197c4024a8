"""What the pages of any collection show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import Facts, FieldValues, facts, values
from garage.inventory.collection import Collection, Words
from garage.inventory.sameness import Sameness
from garage.photos.sheets import Attached, attached
from garage.photos.tables import Attachment
from garage.reference import Caution, cautions
from garage.shelf.fields import OWNED
from garage.shelf.lending import lent_values, open_one, standing_of
from garage.shelf.sheets import Keeping, keeping
from garage.shelf.tables import Loan
from garage.units import DisplayUnits


@dataclass(frozen=True)
class Line:
    """One thing of a list. `standing` says what the day of today makes of it: lent, due back."""

    id: int
    fields: FieldValues
    standing: str


@dataclass(frozen=True)
class ListSheet:
    """Things in use, or retired ones, by `columns`; the first of these leads to the page of its thing."""

    words: Words
    url: str
    has_page: bool
    columns: tuple[Field, ...]
    rows: list[Line]
    retired: bool
    page: int
    more: bool


@dataclass(frozen=True)
class FormSheet:
    """The form of a thing; `row_id` is None for a new one. `home` is where one stands who is done with it, and `end`
    how a thing that has no page but this one went out of use, empty while it did not."""

    words: Words
    url: str
    row_id: int | None
    name: str
    home: str
    has_page: bool
    end: dict[str, str]
    values: dict[str, str]
    fields: tuple[Field, ...]
    cautions: list[Caution]
    same: Sameness = Sameness()


@dataclass(frozen=True)
class ThingSheet:
    """The page of one thing; `beside` is what only its own collection shows."""

    words: Words
    url: str
    line: Line
    listed: Facts
    asks_when_retired: bool
    cautions: list[Caution]
    beside: Any
    keeping: Keeping | None
    attached: Attached


@dataclass(frozen=True)
class RetireSheet:
    """Asking when, how and why a thing is retired; `verdict` is what speaks for it, `home` where its page is."""

    words: Words
    url: str
    row_id: int
    name: str
    home: str
    verdict: str
    cautions: list[Caution]
    values: dict[str, str]
    fields: tuple[Field, ...]


def list_sheet(
    collection: Collection,
    rows: Sequence[Any],
    lent: Mapping[int, Loan],
    own: Mapping[int, FieldValues],
    today: str,
    *,
    retired: bool,
    page: int,
    limit: int,
) -> ListSheet:
    """The list; `rows` holds one more than `limit` if there is a further page, `lent` the open loans of them,
    `own` what stands in own fields of theirs."""
    lines = [_line(collection, row, lent.get(row.id), today, own.get(row.id)) for row in rows[:limit]]
    return ListSheet(
        collection.words,
        collection.url,
        collection.has_page,
        collection.shown,
        lines,
        retired,
        page,
        len(rows) > limit,
    )


def new_sheet(collection: Collection, units: DisplayUnits, suggested: dict[str, str]) -> FormSheet:
    """The form of a new thing."""
    return _form_sheet(collection, None, fresh(collection.fields, units) | suggested)


def form_sheet(collection: Collection, row: Any, units: DisplayUnits, same: Sameness) -> FormSheet:
    """The form of `row`, with what it is one with where that is told nowhere else."""
    return replace(_form_sheet(collection, row, fill(collection.fields, row, units)), same=same)


def _form_sheet(collection: Collection, row: Any, typed: dict[str, str]) -> FormSheet:
    gone = values(collection.retirement, row) if row and row.retired_on else {}
    return FormSheet(
        collection.words,
        collection.url,
        row.id if row else None,
        collection.called(row) if row else "",
        collection.home(row.id) if row else collection.url,
        collection.has_page,
        dict(gone),
        typed,
        collection.fields,
        _cautions(collection),
    )


def thing_sheet(
    collection: Collection,
    row: Any,
    loans: Sequence[Loan],
    receipts: Sequence[Attachment],
    today: str,
    rows: Sequence[Attachment],
    beside: Any,
) -> ThingSheet:
    """The page of `row` with all its `loans` and what is attached to it, `rows`."""
    kept = [field for field in collection.fields if field in OWNED]
    told = [field for field in collection.fields if field not in OWNED]
    change = f"{collection.url}/{row.id}/edit"
    return ThingSheet(
        collection.words,
        collection.url,
        _line(collection, row, open_one(loans), today),
        facts(told, row),
        collection.asks_when_retired,
        _cautions(collection),
        beside,
        keeping(collection.owner, row, kept, loans, receipts, today, change=change) if collection.asks_price else None,
        attached(collection.owner, row.id, rows),
    )


def retire_sheet(collection: Collection, row: Any, today: str, verdict: str) -> RetireSheet:
    """The form that asks about retiring `row`, which is most often done on the day itself."""
    return RetireSheet(
        collection.words,
        collection.url,
        row.id,
        collection.called(row),
        collection.home(row.id),
        verdict,
        [cautions()[key] for key in collection.last_cautions],
        {"retired_on": today},
        collection.retirement,
    )


def _line(collection: Collection, row: Any, loan: Loan | None, today: str, own: FieldValues | None = None) -> Line:
    told = (own or {}) | values(collection.all_fields, row) | (lent_values(loan) if collection.is_lent else {})
    return Line(row.id, FieldValues(told), standing_of(row, loan, today))


def _cautions(collection: Collection) -> list[Caution]:
    return [cautions()[key] for key in collection.cautions]
