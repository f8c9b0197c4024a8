"""What the pages of this room show."""

from dataclasses import dataclass
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import FieldValues, values
from garage.hulls.fields import FIELDS, HULL_KINDS
from garage.hulls.tables import ChecklistItem, Hull
from garage.measures import Measure
from garage.units import DisplayUnits


@dataclass(frozen=True)
class HullLine:
    """One hull in the list."""

    id: int
    name: str
    kind: str
    length: Measure
    material: str
    retired_on: str
    fields: Annotated[FieldValues, FIELDS]


@dataclass(frozen=True)
class HullListSheet:
    """Hulls in use, or retired ones."""

    rows: list[HullLine]
    retired: bool
    page: int
    more: bool


@dataclass(frozen=True)
class HullFormSheet:
    """The form of a hull; `hull_id` is None for a new one."""

    hull_id: int | None
    name: str
    values: dict[str, str]
    kinds: tuple[str, ...] = HULL_KINDS
    fields: tuple[Field, ...] = FIELDS


@dataclass(frozen=True)
class RetireSheet:
    """Asking why a hull is retired."""

    hull_id: int
    name: str
    values: dict[str, str]


@dataclass(frozen=True)
class ListsSheet:
    """A hull's two lists, to read, print and edit."""

    hull_id: int
    name: str
    launch: list[tuple[int, str]]
    packing: list[tuple[int, str]]
    values: dict[str, str]


def hull_line(hull: Hull) -> HullLine:
    """One hull as a line."""
    length = Measure(hull.length_mm, "length")
    return HullLine(
        hull.id, hull.name, hull.kind, length, hull.material, hull.retired_on, values(FIELDS, hull)
    )  # fmt: skip


def hull_list_sheet(hulls: list[Hull], *, retired: bool, page: int, limit: int) -> HullListSheet:
    """The list; `hulls` holds one more than `limit` if there is a further page."""
    return HullListSheet([hull_line(hull) for hull in hulls[:limit]], retired, page, len(hulls) > limit)


def hull_form_sheet(hull: Hull | None, units: DisplayUnits, today: str) -> HullFormSheet:
    """The form of `hull`, or of a new one."""
    if hull is None:
        return HullFormSheet(None, "", fresh(FIELDS, units) | {"built_on": today})
    return HullFormSheet(hull.id, hull.name, fill(FIELDS, hull, units))


def lists_sheet(hull: Hull, launch: list[ChecklistItem], packing: list[ChecklistItem]) -> ListsSheet:
    """A hull's lists."""
    return ListsSheet(hull.id, hull.name, _lines(launch), _lines(packing), {})


def _lines(items: list[ChecklistItem]) -> list[tuple[int, str]]:
    return [(item.id, item.text) for item in items]
