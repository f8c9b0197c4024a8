"""What the page about a pack's ageing shows: cells, charts, forecasts, capacity tests, reasons to retire it."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from markupsafe import Markup

from garage.measures import Measure
from garage.moments import Moment
from garage.packs.ageing import words
from garage.packs.ageing.capacity import Capacity, Test, capacity_of
from garage.packs.ageing.charts import capacity_drawing, cell_drawing
from garage.packs.ageing.store import History
from garage.packs.ageing.trend import TIMES_FIRST, Ageing, CellAgeing, LeftOut, ageing
from garage.packs.retirement import Reason, Verdict
from garage.packs.sheets import PackName, pack_name
from garage.packs.tables import Pack
from garage.reference import Caution, cautions
from garage.units import DisplayUnits


@dataclass(frozen=True)
class CellRow:
    """One cell of the table, with its chart."""

    number: int
    read: Measure
    now: Measure
    limit: Measure
    slope: str
    reaches: str
    about: str
    mates: str
    apart: bool
    drawing: Markup = field(default=Markup(""), repr=False)


@dataclass(frozen=True)
class RawRow:
    """One reading of the table behind the charts."""

    at: Moment
    discharges: int
    temperature: Measure
    cells: list[Measure]
    at_25: list[Measure]


@dataclass(frozen=True)
class OtherGroup:
    """Another method and instrument that this pack was read with."""

    text: str
    query: str
    count: int
    current: bool


@dataclass(frozen=True)
class TestRow:
    """One capacity test."""

    at: Moment
    discharges: int
    charge: Measure
    share: Measure
    current: Measure
    temperature: Measure


@dataclass(frozen=True)
class AgeingSheet:
    """How one pack ages, by one method and instrument at a time."""

    pack: PackName
    method: str
    groups: list[OtherGroup]
    cells: list[CellRow]
    readings: list[RawRow]
    left_out: list[LeftOut]
    compared: int
    charge_unknown: int
    constant: str
    settled: str
    rule: str
    discharges: int
    reasons: list[Reason]
    tests: list[TestRow]
    capacity_slope: str
    capacity_reaches: str
    capacity_about: str
    capacity_left_out: list[Moment]
    cautions: list[Caution]
    capacity_drawing: Markup = field(default=Markup(""), repr=False)


def ageing_sheet(
    pack: Pack, found: History, verdict: Verdict, asked: str, today: str, units: DisplayUnits
) -> AgeingSheet:
    """The page; `asked` names a group by its place, from 0."""
    keys = list(found.groups)
    place = int(asked) if asked.isascii() and asked.isdigit() and int(asked[:4]) < len(keys) else 0
    points = found.groups[keys[place]] if keys else []
    said = ageing(points, pack.limit_mohm)
    capacity = capacity_of(found.tests)
    pace = (found.discharges, found.a_year, found.days, today)
    return AgeingSheet(
        pack=pack_name(pack, verdict.words),
        method=", ".join(part for part in keys[place] if part) if keys else "",
        groups=_groups(found, keys, place),
        cells=[_cell_row(cell, pack, said, pace, units) for cell in said.cells],
        readings=_raw(said),
        left_out=said.left_out,
        compared=said.compared,
        charge_unknown=said.charge_unknown,
        constant=_constant_words(said),
        settled=words.settling_words(said.settling),
        rule=f"{pack.break_in_charges} gentle discharges" if pack.break_in_charges else "none",
        discharges=found.discharges,
        reasons=verdict.reasons,
        tests=[_test_row(test, capacity) for test in reversed(capacity.tests)],
        capacity_slope=words.slope_words(capacity.line, len(capacity.tests)),
        capacity_reaches=words.reach_words(capacity.forecast, found.discharges, capacity.at_limit),
        capacity_about=words.date_words(capacity.forecast, *pace),
        capacity_left_out=capacity.left_out,
        cautions=[cautions()["lipo_charging"], cautions()["lipo_disposal"]],
        capacity_drawing=capacity_drawing(capacity, units),
    )


def _groups(found: History, keys: Sequence[tuple[str, str]], place: int) -> list[OtherGroup]:
    return [
        OtherGroup(", ".join(part for part in key if part), str(index), len(found.groups[key]), index == place)
        for index, key in enumerate(keys)
    ]


def _constant_words(said: Ageing) -> str:
    one = said.constant
    share = (one.value_k / 298.15**2) * 100
    whose = "from its own readings" if one.own else "usual, from open ageing data; rough"
    return f"{share:.1f} % a kelvin ({one.value_k:.0f} K, {one.low_k:.0f} to {one.high_k:.0f}; {whose})"


def _cell_row(
    cell: CellAgeing, pack: Pack, said: Ageing, pace: tuple[int, int, float, str], units: DisplayUnits
) -> CellRow:
    now = cell.now
    first = f"{TIMES_FIRST:g} × its first readings (common practice)"
    return CellRow(
        number=cell.number,
        read=Measure(cell.raw[-1][1] if cell.raw else None, "resistance", "as read, the last one"),
        now=Measure(
            now.value if now else None,
            "resistance",
            "computed for 25 °C from the last one compared",
            "",
            now.low if now else None,
            now.high if now else None,
        ),
        limit=Measure(cell.limit, "resistance", "your limit, at 25 °C" if pack.limit_mohm else first),
        slope=words.slope_words(cell.line, len(cell.at_25)),
        reaches=words.reach_words(cell.forecast, pace[0], cell.at_limit),
        about="" if cell.at_limit else words.date_words(cell.forecast, *pace),
        mates=words.drift_words(cell.drift, cell.ratio) if len(said.cells) > 1 else "",
        apart=bool(cell.drift and cell.drift.apart),
        drawing=cell_drawing(cell, units),
    )


def _raw(said: Ageing) -> list[RawRow]:
    if not said.cells:
        return []
    brought = {
        point.at: [cell.at_25[place][1] for cell in said.cells] for place, (point, _) in enumerate(said.cells[0].at_25)
    }
    return [
        RawRow(
            point.at,
            point.discharges,
            Measure(point.temperature_c, "temperature", "measured"),
            [Measure(mohm, "resistance", "as read") for mohm in point.cells_mohm],
            [Measure(one.value, "resistance", "at 25 °C", "", one.low, one.high) for one in brought.get(point.at, [])],
        )
        for point, _ in reversed(said.cells[0].raw)
    ]


def _test_row(test: Test, capacity: Capacity) -> TestRow:
    share = test.charge_mah / capacity.first_mah * 100 if capacity.first_mah else None
    caution = "under 80 %" if share is not None and share < 80 else ""
    return TestRow(
        test.at,
        test.discharges,
        Measure(test.charge_mah, "charge", "measured"),
        Measure(share, "percent", "of the first tests", caution),
        Measure(test.current_a, "current", "set or read off"),
        Measure(test.temperature_c, "temperature", "measured"),
    )
