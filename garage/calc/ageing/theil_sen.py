"""The median of all pairwise slopes, with an interval by Kendall's tau (Theil 1950, Sen 1968)."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from garage.calc.ageing.robust import median

# So wide is an interval of 90 % in standard errors.
NINETY = 3.29


@dataclass(frozen=True)
class Slope:
    """A slope with the ends of its interval of 90 % unless asked otherwise, and the standard error that this
    width stands for."""

    value: float
    low: float
    high: float
    error: float


def theil_sen(x: Sequence[float], y: Sequence[float], confidence: float = 0.9) -> Slope:
    """The slope of `y` by `x`. ValueError if fewer than two different `x` are given."""
    slopes = sorted(
        (y[later] - y[sooner]) / (x[later] - x[sooner])
        for sooner in range(len(x))
        for later in range(sooner + 1, len(x))
        if x[later] != x[sooner]
    )
    if not slopes:
        raise ValueError("a slope needs readings at two different cycles")
    count = len(slopes)
    reach = NormalDist().inv_cdf(0.5 + confidence / 2) * kendall_sigma(x, y)
    high = slopes[min(round((count + reach) / 2), count - 1)]
    low = slopes[max(round((count - reach) / 2) - 1, 0)]
    return Slope(median(slopes), low, high, (high - low) / NINETY)


def kendall_sigma(x: Sequence[float], y: Sequence[float]) -> float:
    """The standard deviation of the number of concordant less discordant pairs, ties in both accounted for
    (Kendall 1970)."""
    count = len(x)
    ties_x, ties_y = (list(Counter(values).values()) for values in (x, y))

    def spread(size: int) -> float:
        return size * (size - 1) * (2 * size + 5)

    def pairs(sizes: list[int]) -> float:
        return sum(size * (size - 1) for size in sizes)

    def triples(sizes: list[int]) -> float:
        return sum(size * (size - 1) * (size - 2) for size in sizes)

    variance = (spread(count) - sum(map(spread, ties_x)) - sum(map(spread, ties_y))) / 18
    if count > 1:
        variance += pairs(ties_x) * pairs(ties_y) / (2 * count * (count - 1))
    if count > 2:
        variance += triples(ties_x) * triples(ties_y) / (9 * count * (count - 1) * (count - 2))
    return math.sqrt(max(variance, 0.0))
