"""What the pages of waters show."""

from dataclasses import dataclass
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import FieldValues, values
from garage.measures import Measure
from garage.units import DisplayUnits, entry_text, show
from garage.waters.fields import ELECTRIC, FIELDS, USUAL_COURSE_M
from garage.waters.tables import Water


@dataclass(frozen=True)
class WaterLine:
    """One water in the list."""

    id: int
    name: str
    speed_limit: Measure
    hours: str
    electric_allowed: str
    course: Measure
    notes: str
    retired_on: str
    fields: Annotated[FieldValues, FIELDS]


@dataclass(frozen=True)
class WaterListSheet:
    """Waters in use, or those no longer visited."""

    rows: list[WaterLine]
    retired: bool
    page: int
    more: bool


@dataclass(frozen=True)
class WaterFormSheet:
    """The form of a water; `water_id` is None for a new one."""

    water_id: int | None
    name: str
    retired: bool
    values: dict[str, str]
    electric: tuple[str, ...] = ("", *ELECTRIC)
    fields: tuple[Field, ...] = FIELDS


def water_line(water: Water) -> WaterLine:
    """One water as a line."""
    return WaterLine(
        water.id,
        water.name,
        Measure(water.speed_limit_kmh, "speed", "the water's own rule"),
        water.hours,
        water.electric_allowed,
        Measure(water.course_m, "distance"),
        water.notes,
        water.retired_on,
        values(FIELDS, water),
    )


def water_list_sheet(waters: list[Water], *, retired: bool, page: int, limit: int) -> WaterListSheet:
    """The list; `waters` holds one more than `limit` if there is a further page."""
    return WaterListSheet([water_line(one) for one in waters[:limit]], retired, page, len(waters) > limit)


def water_form_sheet(water: Water | None, units: DisplayUnits) -> WaterFormSheet:
    """The form of `water`, or of a new one, where the usual course stands."""
    if water is None:
        usual = entry_text(USUAL_COURSE_M, "distance", units.unit("distance"))
        return WaterFormSheet(None, "", False, fresh(FIELDS, units) | {"course": usual})
    return WaterFormSheet(water.id, water.name, bool(water.retired_on), fill(FIELDS, water, units))


def rules_of(water: Water, units: DisplayUnits) -> list[str]:
    """A water's own rules, in short."""
    found = {"no": "electric boats not allowed", "ask first": "ask first before running electric boats"}
    rules = [found[water.electric_allowed]] if water.electric_allowed in found else []
    if water.speed_limit_kmh is not None:
        rules.append(f"no faster than {show(water.speed_limit_kmh, 'speed', units.unit('speed'))}")
    return rules + ([f"hours: {water.hours}"] if water.hours else [])
