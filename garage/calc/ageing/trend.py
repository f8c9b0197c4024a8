"""Where a cell stands, how fast it moves, and when it may reach a limit.

y = ln R25 (or ln capacity) by cycle: slope after Theil and Sen, level in the middle of the cycles, and the cycle
at which the line meets ln(limit) with the Fieller set of that ratio (Fieller 1954) at t with N - 2 degrees. The
interval of the slope alone would cover 43 % instead of 90.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.ageing.robust import median, robust_sigma
from garage.calc.ageing.student import t_quantile
from garage.calc.ageing.theil_sen import theil_sen

FEWEST = 5
# The error of a median over that of a mean, for a normal spread.
_MEDIAN_ERROR = 1.2533


@dataclass(frozen=True)
class Trend:
    """A line through logarithms: `level` at `middle` (a cycle) and `slope` a cycle, with standard errors and
    the slope's interval of 90 %; `count` readings."""

    middle: float
    level: float
    level_error: float
    slope: float
    slope_low: float
    slope_high: float
    slope_error: float
    count: int

    def value(self, cycle: float) -> float:
        """What the line says at `cycle`."""
        return math.exp(self.level + self.slope * (cycle - self.middle))

    def band(self, cycle: float, confidence: float = 0.9) -> tuple[float, float]:
        """The range of the line at `cycle`."""
        half = t_quantile(confidence, self.count - 2) * math.hypot(
            self.level_error, self.slope_error * (cycle - self.middle)
        )
        middle = math.log(self.value(cycle))
        return math.exp(middle - half), math.exp(middle + half)


@dataclass(frozen=True)
class Forecast:
    """The cycle at which the line meets a limit. `earliest` and `latest` are the ends of the range; None for
    an end that the data leave open. `cycle` is None where the line does not go there."""

    cycle: float | None
    earliest: float | None
    latest: float | None

    @property
    def says_something(self) -> bool:
        """False where there is no end in sight yet."""
        return self.cycle is not None and self.latest is not None


NO_END_IN_SIGHT = Forecast(None, None, None)


def trend(cycles: Sequence[float], values: Sequence[float]) -> Trend | None:
    """The trend of positive `values`; None for fewer than 5 readings or all at one cycle."""
    if len(values) < FEWEST or len(set(cycles)) < 2:
        return None
    logs = [math.log(value) for value in values]
    slope = theil_sen(cycles, logs)
    middle = sum(cycles) / len(cycles)
    at_middle = [log - slope.value * (cycle - middle) for cycle, log in zip(cycles, logs, strict=True)]
    error = _MEDIAN_ERROR * robust_sigma(at_middle) / math.sqrt(len(values))
    return Trend(middle, median(at_middle), error, slope.value, slope.low, slope.high, slope.error, len(values))


def forecast(line: Trend, limit: float, confidence: float = 0.9) -> Forecast:
    """When `line` meets `limit`, ahead or behind. Only ends beyond the first cycle after the middle count as
    ends: a line that may as well never get there has none."""
    rise, t = math.log(limit) - line.level, t_quantile(confidence, line.count - 2)
    wide = t * line.slope_error
    a = line.slope**2 - wide**2
    b = rise * line.slope
    c = rise**2 - (t * line.level_error) ** 2
    towards = rise * line.slope > 0
    cycle = line.middle + rise / line.slope if towards else None
    inside = b * b - a * c
    if a > 0:
        root = math.sqrt(max(inside, 0.0))
        ends = (line.middle + (b - root) / a, line.middle + (b + root) / a)
        return Forecast(cycle, *ends) if towards or c <= 0 else NO_END_IN_SIGHT
    # The slope may be nought: the set is open above, and begins where the steepest line gets there.
    if inside <= 0 or c <= 0:
        return Forecast(cycle, None, None)
    begins = max((b + sign * math.sqrt(inside)) / a for sign in (-1, 1)) if a < 0 else c / (2 * b)
    return Forecast(cycle, line.middle + begins if begins > 0 else None, None)
