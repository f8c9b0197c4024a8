"""Charts of a pack's ageing: each cell's resistance, and capacity, by discharges."""

from markupsafe import Markup

from garage.packs.ageing.capacity import Capacity
from garage.packs.ageing.trend import CellAgeing
from garage.units import DisplayUnits, convert
from garage.web.scatter import Line, Mark, scatter

# A limit is drawn once the last reading has come this near: else it would press the readings flat.
_NEAR = 0.6


def cell_drawing(cell: CellAgeing, units: DisplayUnits) -> Markup:
    """One cell as read and at 25 °C, with its trend."""
    unit = units.unit("resistance")

    def shown(mohm: float) -> float:
        return convert(mohm, "resistance", "mΩ", unit)

    raw = [
        Mark(point.discharges, shown(value), True, f"{point.at.day()}: as read{_at_temperature(point.temperature_c)}")
        for point, value in cell.raw
    ]
    brought = [
        Mark(point.discharges, shown(now.value), False, f"{point.at.day()}: at 25 °C") for point, now in cell.at_25
    ]
    line = None
    if cell.line and cell.at_25:
        first, last = cell.at_25[0][0].discharges, cell.at_25[-1][0].discharges
        steps = [first + (last - first) * step / 12 for step in range(13)]
        line = Line(
            [(x, shown(cell.line.value(x))) for x in (first, last)],
            [(x, *map(shown, cell.line.band(x))) for x in steps],  # type: ignore[misc]
        )
    near = cell.limit is not None and cell.now is not None and cell.now.value > _NEAR * cell.limit
    words_of = "Hollow: as read. Filled: brought to 25 °C. Line: trend with its range of 90 %."
    limit = shown(cell.limit) if near and cell.limit else None
    title = f"Cell {cell.number} by discharges"
    return scatter([*raw, *brought], title, words_of, unit, "discharges", line, limit)


def _at_temperature(celsius: float | None) -> str:
    return f" at {celsius:g} °C" if celsius is not None else ""


def capacity_drawing(capacity: Capacity, units: DisplayUnits) -> Markup:
    """Capacity tests with their trend and the limit; '' for fewer than two."""
    if len(capacity.tests) < 2:
        return Markup("")
    unit = units.unit("charge")

    def shown(mah: float) -> float:
        return convert(mah, "charge", "mAh", unit)

    marks = [Mark(test.discharges, shown(test.charge_mah), False, test.at.day()) for test in capacity.tests]
    line = None
    if capacity.line:
        ends = capacity.tests[0].discharges, capacity.tests[-1].discharges
        line = Line([(x, shown(capacity.line.value(x))) for x in ends])
    limit = shown(capacity.limit_mah) if capacity.limit_mah else None
    words_of = "Each dot is a capacity test; the limit is 80 % of the first, common practice."
    return scatter(marks, "Capacity by discharges", words_of, unit, "discharges", line, limit)
