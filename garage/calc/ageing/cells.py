"""Cells held against their mates in one pack: readings of one moment share temperature, charge and instrument."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.ageing.robust import median
from garage.calc.ageing.theil_sen import theil_sen

# A cell at so many times the middle of its mates is failing; common practice, no source.
FAILING = 1.5


@dataclass(frozen=True)
class Drift:
    """How a cell moves against the middle of its mates, a share a cycle with its interval of 90 %; `now` is
    its ratio to them in the last reading. `apart` if the interval leaves out standing still."""

    now: float
    slope: float
    low: float
    high: float
    apart: bool


def ratios(cells: Sequence[float]) -> list[float]:
    """Each cell over the middle of the others; 1 for a lone cell."""
    if len(cells) < 2:
        return [1.0] * len(cells)
    return [cell / median([*cells[:place], *cells[place + 1 :]]) for place, cell in enumerate(cells)]


def drift(cycles: Sequence[float], own_ratios: Sequence[float]) -> Drift | None:
    """How one cell's ratio moves; None for fewer than 5 readings or all at one cycle. Only upwards counts as
    apart: a cell that falls against its mates has mates that rise."""
    if len(own_ratios) < 5 or len(set(cycles)) < 2:
        return None
    slope = theil_sen(cycles, [math.log(ratio) for ratio in own_ratios])
    return Drift(own_ratios[-1], slope.value, slope.low, slope.high, slope.low > 0)
