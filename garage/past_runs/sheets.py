"""What the pages of spreadsheets show."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.fields.definition import Field
from garage.hulls.tables import Hull
from garage.moments import day_text
from garage.past_runs.columns import past_fields
from garage.past_runs.forms import Choices, choice_values
from garage.past_runs.reading import SheetOfRows
from garage.past_runs.row import DATE_ORDERS
from garage.past_runs.store import Outcome
from garage.past_runs.tables import PastImport, PastImportLine
from garage.runs.fields import SPEED_HOWS, WAYS
from garage.units import KINDS

SHOWN_ROWS, SHOWN_SIGNS = 5, 300


@dataclass(frozen=True)
class ImportLine:
    """One spreadsheet in the list."""

    id: int
    name: str
    brought_on: str
    stands: str


@dataclass(frozen=True)
class ImportListSheet:
    """The spreadsheets brought so far, and the form for another."""

    rows: list[ImportLine]
    page: int
    more: bool
    values: dict[str, str]


@dataclass(frozen=True)
class ColumnChoice:
    """One field and the units its bare numbers may be in."""

    name: str
    label: str
    units: tuple[str, ...]


@dataclass(frozen=True)
class RowLine:
    """What became of one row."""

    row: int
    said: str
    run_id: int | None


@dataclass(frozen=True)
class ImportSheet:
    """One spreadsheet: its first rows, how its columns are read, and what became of each row.

    `stage` is new, looked at, taken in or taken back. `same_as` is the number of a spreadsheet of the very same
    content whose runs are in the notebook, if there is one; `some_retired`, whether a hull is out of use,
    and `some_built`, whether it is known when one was built.
    """

    id: int
    name: str
    stage: str
    headings: tuple[str, ...]
    first_rows: list[tuple[str, ...]]
    count: int
    columns: list[ColumnChoice]
    options: list[tuple[str, str]]
    hulls: list[tuple[str, str]]
    some_retired: bool
    some_built: bool
    date_orders: tuple[str, ...]
    speed_hows: tuple[str, ...]
    ways: tuple[str, ...]
    outcome: Outcome
    rows: list[RowLine]
    good: list[RowLine]
    page: int
    more: bool
    same_as: int | None
    values: dict[str, str]


def stage_of(found: PastImport) -> str:
    """How far a spreadsheet has come."""
    if found.taken_in_at is not None:
        return "taken back" if found.taken_back_at is not None else "taken in"
    return "looked at" if found.looked_at is not None else "new"


def import_list_sheet(found: Sequence[PastImport], page: int, limit: int) -> ImportListSheet:
    """The list; `found` holds one more than `limit` if there is a further page."""
    rows = [ImportLine(row.id, row.name, day_text(row.created_at[:10]), stage_of(row)) for row in found[:limit]]
    return ImportListSheet(rows, page, len(found) > limit, {})


def import_sheet(
    found: PastImport,
    table: SheetOfRows,
    choices: Choices,
    hulls: Sequence[Hull],
    outcome: Outcome,
    refused: Sequence[PastImportLine],
    good: Sequence[PastImportLine],
    page: int,
    limit: int,
    same: PastImport | None,
) -> ImportSheet:
    """The page of one spreadsheet; `refused` holds one more than `limit` if there is a further page."""
    return ImportSheet(
        id=found.id,
        name=found.name,
        stage=stage_of(found),
        headings=table.headings,
        first_rows=[tuple(cell[:SHOWN_SIGNS] for cell in cells) for _, cells in table.rows[:SHOWN_ROWS]],
        count=len(table.rows),
        columns=[_column_choice(one) for one in past_fields(choices.columns)],
        options=[(str(number), heading or f"column {number + 1}") for number, heading in enumerate(table.headings)],
        hulls=[(str(hull.id), hull.name) for hull in hulls],
        some_retired=any(hull.retired_on for hull in hulls),
        some_built=any(hull.built_on for hull in hulls),
        date_orders=DATE_ORDERS,
        speed_hows=SPEED_HOWS,
        ways=WAYS,
        outcome=outcome,
        rows=[RowLine(line.row, line.refused, None) for line in refused[:limit]],
        good=[RowLine(line.row, line.said, line.run_id) for line in good],
        page=page,
        more=len(refused) > limit,
        same_as=same.id if same else None,
        values=choice_values(choices),
    )


def _column_choice(field: Field) -> ColumnChoice:
    return ColumnChoice(field.name, field.label, KINDS[field.kind].units if field.is_measure else ())
