"""What a pack's resistance readings by one method and instrument say: at 25 °C, settled or not, where they go.

Readings are compared only near each other in temperature and state of charge; what is left out is said.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log

from garage.calc.ageing import temperature
from garage.calc.ageing.cells import Drift, drift, ratios
from garage.calc.ageing.robust import median, wild
from garage.calc.ageing.settling import Settling, settling
from garage.calc.ageing.temperature import AtReference, Constant
from garage.calc.ageing.trend import Forecast, Trend, forecast, trend
from garage.moments import Moment

# Readings further from the middle one than that are not compared: at most 15 K between any two.
_FROM_MIDDLE_K = 7.5
# The same for state of charge; what counts as far is common practice, no source.
_FROM_MIDDLE_PERCENT = 15.0
# A cell at twice its own first readings is done; common practice, no source.
TIMES_FIRST = 2.0
_FIRST_READINGS = 3


@dataclass(frozen=True)
class Point:
    """One reading: after how many discharges, what each cell read in mΩ, and beside what."""

    at: Moment
    discharges: int
    cells_mohm: tuple[float, ...]
    temperature_c: float | None
    charge_percent: float | None


@dataclass(frozen=True)
class LeftOut:
    """A reading that is kept but not compared with the others, and why."""

    at: Moment
    why: str


@dataclass(frozen=True)
class CellAgeing:
    """One cell. `at_25` goes with the points compared; `limit` is in mΩ at 25 °C, None while unknown."""

    number: int
    raw: list[tuple[Point, float]]
    at_25: list[tuple[Point, AtReference]]
    now: AtReference | None
    line: Trend | None
    limit: float | None
    forecast: Forecast | None
    drift: Drift | None
    ratio: float

    @property
    def at_limit(self) -> bool:
        """Whether the last reading compared is at the limit or beyond."""
        return self.now is not None and self.limit is not None and self.now.value >= self.limit


@dataclass(frozen=True)
class Ageing:
    """What one method and instrument say of a pack."""

    cells: list[CellAgeing]
    compared: int
    left_out: list[LeftOut]
    constant: Constant
    settling: Settling
    charge_unknown: int

    @property
    def worst(self) -> CellAgeing | None:
        """The cell nearest to its limit in the last reading; None while nothing is known."""
        known = [cell for cell in self.cells if cell.now is not None and cell.limit]
        return max(known, key=lambda cell: cell.now.value / cell.limit) if known else None  # type: ignore[union-attr, operator]


def ageing(points: Sequence[Point], limit_mohm: float | None) -> Ageing:
    """What `points` (oldest first, all with as many cells) say; `limit_mohm` is the owner's own limit."""
    compared, left_out = comparable(points)
    constant = temperature.own_constant(
        [point.discharges for point in compared],
        [point.temperature_c or 0.0 for point in compared],
        [_mean(point.cells_mohm) for point in compared],
    )
    brought = [
        [temperature.at_reference(cell, point.temperature_c or 0.0, constant) for cell in point.cells_mohm]
        for point in compared
    ]
    settled = settling(
        [point.discharges + 1 for point in compared],
        [_mean([cell.value for cell in cells]) for cells in brought],
    )
    # One less than the number of the discharge at which it had settled.
    since = settled.cycle - 1 if settled.cycle is not None else 0.0
    cells = [
        _cell(number, points, compared, brought, since, limit_mohm)
        for number in range(len(points[0].cells_mohm) if points else 0)
    ]
    unknown = sum(point.charge_percent is None for point in compared)
    return Ageing(cells, len(compared), left_out, constant, settled, unknown)


def comparable(points: Sequence[Point]) -> tuple[list[Point], list[LeftOut]]:
    """The readings that may be set against each other, and the others with the reason."""
    left_out = [LeftOut(point.at, why) for point in points if (why := _not_to_bring(point))]
    kept = [point for point in points if not _not_to_bring(point)]
    absurd = set(wild([_mean(point.cells_mohm) for point in kept]))
    left_out += [LeftOut(kept[place].at, "more than twice or less than half its neighbours") for place in absurd]
    kept = [point for place, point in enumerate(kept) if place not in absurd]
    if not kept:
        return [], left_out
    middle_c = median([point.temperature_c or 0.0 for point in kept])
    known = [point.charge_percent for point in kept if point.charge_percent is not None]
    middle_percent = median(known) if known else 0.0
    compared = []
    for point in kept:
        away_k = (point.temperature_c or 0.0) - middle_c
        away_percent = (point.charge_percent if point.charge_percent is not None else middle_percent) - middle_percent
        if abs(away_k) > _FROM_MIDDLE_K:
            side = "warmer" if away_k > 0 else "colder"
            left_out.append(LeftOut(point.at, f"{abs(away_k):.0f} K {side} than the middle of the others"))
        elif abs(away_percent) > _FROM_MIDDLE_PERCENT:
            words = f"state of charge {abs(away_percent):.0f} points from the middle of the others"
            left_out.append(LeftOut(point.at, words))
        else:
            compared.append(point)
    return compared, sorted(left_out, key=lambda one: one.at)


def _not_to_bring(point: Point) -> str:
    if point.temperature_c is None:
        return "its temperature was not written down"
    if not temperature.COLDEST_C <= point.temperature_c <= temperature.HOTTEST_C:
        return f"read at {point.temperature_c:g} °C: too far away to be brought to 25 °C"
    return ""


def _cell(
    place: int,
    points: Sequence[Point],
    compared: Sequence[Point],
    brought: Sequence[Sequence[AtReference]],
    since: float,
    limit_mohm: float | None,
) -> CellAgeing:
    at_25 = [(point, cells[place]) for point, cells in zip(compared, brought, strict=True)]
    settled = [(point, cell) for point, cell in at_25 if point.discharges >= since]
    firsts = [cell.value for _, cell in (settled or at_25)[:_FIRST_READINGS]]
    limit = limit_mohm or (TIMES_FIRST * median(firsts) if firsts else None)
    line = trend([point.discharges for point, _ in settled], [cell.value for _, cell in settled])
    cycles = [point.discharges for point in compared]
    own = [ratios([cell.value for cell in cells])[place] for cells in brought]
    return CellAgeing(
        number=place + 1,
        raw=[(point, point.cells_mohm[place]) for point in points],
        at_25=at_25,
        now=at_25[-1][1] if at_25 else None,
        line=line,
        limit=limit,
        forecast=forecast(line, limit) if line and limit else None,
        drift=drift(cycles, own),
        ratio=own[-1] if own else 1.0,
    )


def ahead(found: Forecast | None, discharges: int) -> Forecast | None:
    """A forecast as seen from now: what would have been before `discharges` begins now."""
    if found is None or found.earliest is None:
        return found
    return replace(found, earliest=max(found.earliest, float(discharges)))


def _mean(cells: Sequence[float]) -> float:
    """The geometric mean: no cell weighs more for being larger."""
    return exp(sum(log(cell) for cell in cells) / len(cells))
