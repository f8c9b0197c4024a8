"""Which cells of a pack its resistance readings speak against: exact, and quick for a pack that is far from it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from garage.calc.ageing.cells import FAILING
from garage.calc.ageing.temperature import COLDEST_C, HOTTEST_C, USUAL_CONSTANT_K, ratio_to_reference
from garage.packs.ageing.trend import TIMES_FIRST, Point, ageing

# Brought to 25 °C by the least and the most plausible constant instead of the usual one, a reading between 5 and
# 50 °C comes out at most this factor off: own arithmetic, exp(900 × (1/298.15 - 1/323.15)).
_BY_ANOTHER_CONSTANT = 1.27


@dataclass(frozen=True)
class Wear:
    """The numbers of the cells measured at their limit, and how each cell read against its mates last."""

    at_limit: tuple[int, ...] = ()
    ratios: tuple[float, ...] = ()


def may_be_worn(readings: Iterable[tuple[float | None, Sequence[float]]], limit_mohm: float | None) -> bool:
    """Whether it is worth asking exactly, by temperatures in °C and cells in mΩ of one method and instrument;
    `limit_mohm` is the owner's own limit. Where this says no, no reading can be at a limit or stand out from its
    mates: neither the choice of readings to compare nor the pack's own answer to temperature can change that."""
    brought = []
    for celsius, cells in readings:
        if celsius is None or not COLDEST_C <= celsius <= HOTTEST_C:
            continue
        if len(cells) > 2 and max(cells) >= FAILING * min(cells):
            return True
        scale = ratio_to_reference(celsius, USUAL_CONSTANT_K)
        brought.append([cell / scale for cell in cells])
    for of_cell in zip(*brought, strict=True):
        least = limit_mohm or TIMES_FIRST * min(of_cell) / _BY_ANOTHER_CONSTANT
        if max(of_cell) >= least / _BY_ANOTHER_CONSTANT:
            return True
    return False


# The fits behind it take a twentieth of a second, and the same pack is named on page after page.
@lru_cache(maxsize=128)
def wear_of(points: tuple[Point, ...], limit_mohm: float | None) -> Wear:
    """What `points` (oldest first, one method and instrument) say."""
    cells = ageing(points, limit_mohm).cells
    return Wear(tuple(cell.number for cell in cells if cell.at_limit), tuple(cell.ratio for cell in cells))
