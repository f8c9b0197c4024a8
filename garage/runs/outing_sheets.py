"""What the pages of waters and outings show."""

from dataclasses import dataclass

from garage.corrections.sheets import Mended
from garage.measures import Measure
from garage.moments import Moment
from garage.photos.sheets import Attached
from garage.runs.lines import RunLine
from garage.runs.outing_store import OutingCount
from garage.runs.pick_store import Option
from garage.runs.tables import Outing, Water
from garage.runs.water_forms import ELECTRIC, outing_values, water_values
from garage.units import DisplayUnits, show


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
    electric: tuple[str, ...] = ELECTRIC


@dataclass(frozen=True)
class OutingLine:
    """One outing in the list."""

    id: int
    started: Moment
    water: str
    runs: int
    waiting: int
    is_open: bool
    air: Measure
    wind: Measure
    surface: str
    notes: str


@dataclass(frozen=True)
class OutingListSheet:
    """Outings, newest first."""

    rows: list[OutingLine]
    page: int
    more: bool


@dataclass(frozen=True)
class OutingFormSheet:
    """The form of an outing; `outing_id` is None for a new one."""

    outing_id: int | None
    waters: list[Option]
    values: dict[str, str]


@dataclass(frozen=True)
class OutingRun:
    """One run on its outing's page: the line, what changed since the run before it, and what is missing."""

    line: RunLine
    changed: list[str]
    pack_rise: Measure
    missing: list[str]


@dataclass(frozen=True)
class OutingSheet:
    """An outing: its conditions, its runs, what was attached."""

    outing_id: int
    started: Moment
    water_id: int
    water: str
    water_rules: list[str]
    closed: Moment | None
    set_aside: bool
    conditions: list[tuple[str, Measure]]
    words: list[tuple[str, str]]
    notes: str
    rows: list[OutingRun]
    page: int
    more: bool
    corrections: list[Mended]
    attached: Attached
    values: dict[str, str]


def water_line(water: Water) -> WaterLine:
    """One water as a line."""
    assert water.id is not None
    return WaterLine(
        water.id,
        water.name,
        Measure(water.speed_limit_kmh, "speed", "the water's own rule"),
        water.hours,
        water.electric_allowed,
        Measure(water.course_m, "distance"),
        water.notes,
        water.retired_on,
    )


def water_list_sheet(waters: list[Water], *, retired: bool, page: int, limit: int) -> WaterListSheet:
    """The list; `waters` holds one more than `limit` if there is a further page."""
    return WaterListSheet([water_line(one) for one in waters[:limit]], retired, page, len(waters) > limit)


def water_form_sheet(water: Water | None, units: DisplayUnits) -> WaterFormSheet:
    """The form of `water`, or of a new one."""
    values = water_values(water, units)
    return WaterFormSheet(water.id, water.name, bool(water.retired_on), values) if water else WaterFormSheet(
        None, "", False, values
    )  # fmt: skip


def outing_line(outing: Outing, water: str, count: OutingCount) -> OutingLine:
    """One outing as a line."""
    assert outing.id is not None
    return OutingLine(
        outing.id,
        Moment(outing.started_at, outing.offset_min),
        water,
        count.runs,
        count.waiting,
        outing.closed_at is None,
        Measure(outing.air_c, "temperature"),
        Measure(outing.wind_ms, "wind"),
        outing.surface,
        outing.notes,
    )


def outing_form_sheet(
    outing: Outing | None, waters: list[Water], units: DisplayUnits, now: Moment
) -> OutingFormSheet:
    """The form of `outing`, or of a new one that begins now."""
    options = [Option(str(one.id), one.name) for one in waters]
    if outing is None:
        return OutingFormSheet(None, options, {"started": now.local_text()})
    return OutingFormSheet(outing.id, options, outing_values(outing, units))


def conditions_of(outing: Outing) -> list[tuple[str, Measure]]:
    """The conditions that were written, in words and measures; all of them as read at the water."""
    asked = (
        ("Air", outing.air_c, "temperature"),
        ("Water", outing.water_c, "temperature"),
        ("Wind", outing.wind_ms, "wind"),
        ("Gusts", outing.gust_ms, "wind"),
        ("Wind from", outing.wind_from_deg, "angle"),
    )
    return [
        (name, Measure(value, kind, "read at the water")) for name, value, kind in asked if value is not None
    ]


def words_of(outing: Outing) -> list[tuple[str, str]]:
    """The conditions that are words."""
    asked = (
        ("Wind to the course", outing.wind_to_course),
        ("Surface", outing.surface),
        ("Sky", outing.sun),
        ("Weed", outing.weed),
    )
    return [(name, text) for name, text in asked if text]


def rules_of(water: Water, units: DisplayUnits) -> list[str]:
    """A water's own rules, in short."""
    found = {"no": "electric boats not allowed", "ask first": "ask first before running electric boats"}
    rules = [found[water.electric_allowed]] if water.electric_allowed in found else []
    if water.speed_limit_kmh is not None:
        rules.append(f"no faster than {show(water.speed_limit_kmh, 'speed', units.unit('speed'))}")
    return rules + ([f"hours: {water.hours}"] if water.hours else [])
