"""What the pages of drives show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from garage.drives.fields import FIELDS, RETIREMENT_FIELDS
from garage.drives.sheets import PartFacts, known_kv, part_facts
from garage.drives.tables import Part
from garage.fields.showing import OWN, FieldValues, values
from garage.inventory.sameness import Sameness
from garage.items.drive_store import PartEvent
from garage.measures import Measure
from garage.own_fields.at_hand import with_own
from garage.photos.sheets import Attached, attached
from garage.photos.tables import Attachment
from garage.shelf.fields import LENT_FIELDS
from garage.shelf.lending import lent_values, standing_of
from garage.shelf.sheets import ShelfSheet, shelf_sheet
from garage.shelf.store import Kept
from garage.shelf.tables import Loan


@dataclass(frozen=True)
class DriveLine:
    """One part in the list, with the hull that it is in."""

    id: int
    fields: Annotated[FieldValues, FIELDS, OWN]
    kv: Measure
    hull_id: int | None
    installed_in: str
    retired_on: str
    lent: str
    loan: Annotated[FieldValues, LENT_FIELDS]
    end: Annotated[FieldValues, RETIREMENT_FIELDS]


@dataclass(frozen=True)
class DriveListSheet:
    """Parts of one kind or of all, in use or retired."""

    rows: list[DriveLine]
    kind: str
    retired: bool
    page: int
    more: bool
    query: str
    kinds: list[str]


@dataclass(frozen=True)
class DriveSheet:
    """One part: what it is, where it is and was, what is attached, where it lies."""

    part: PartFacts
    installed: PartEvent | None
    events: list[PartEvent]
    attached: Attached
    shelf: ShelfSheet
    same: Sameness


def drive_list_sheet(
    parts: Sequence[Part],
    installed: Mapping[int, PartEvent],
    lent: Mapping[int, Loan],
    kinds: list[str],
    *,
    today: str,
    kind: str,
    retired: bool,
    page: int,
    limit: int,
) -> DriveListSheet:
    """The list; `parts` holds one more than `limit` if there is a further page."""
    rows = [_line(part, installed.get(part.id), lent.get(part.id), today) for part in parts[:limit]]
    query = "".join((f"kind={kind.replace(' ', '+')}&" if kind else "", "retired=yes&" if retired else ""))
    return DriveListSheet(rows, kind, retired, page, len(parts) > limit, query, kinds)


def _line(part: Part, event: PartEvent | None, loan: Loan | None, today: str) -> DriveLine:
    where = f"{event.hull}{place_text(event.place)}" if event else ""
    hull_id = event.hull_id if event else None
    return DriveLine(
        part.id,
        values(with_own("part", FIELDS), part),
        known_kv(part),
        hull_id,
        where,
        part.retired_on,
        standing_of(part, loan, today),
        lent_values(loan),
        values(RETIREMENT_FIELDS, part),
    )


def place_text(place: str) -> str:
    """`, left` for one of two; nothing where there is only one."""
    return "" if place == "single" else f", {place}"


def drive_sheet(
    part: Part,
    events: Sequence[PartEvent],
    rows: Sequence[Attachment],
    receipts: Sequence[Attachment],
    kept: Kept,
    today: str,
    same: Sameness,
) -> DriveSheet:
    """The page of one part."""
    installed = events[0] if events and events[0].kind == "install" else None
    return DriveSheet(
        part_facts(part),
        installed,
        list(events),
        attached("part", part.id, rows),
        shelf_sheet("part", part.id, kept, receipts, today, retired=bool(part.retired_on)),
        same,
    )
