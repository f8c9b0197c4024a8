"""What is usual of a figure that was read several times, and what lies far from it."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

# Fewer say nothing of what is usual.
FEWEST = 5
# Of a normal spread the median of the distances is that part of its standard deviation.
_MAD_TO_SD = 1.4826


@dataclass(frozen=True)
class UsualRange:
    """From where to where a figure usually lies, of how many it was worked out, and from where on it is far off."""

    low: float
    high: float
    count: int
    far_low: float
    far_high: float

    def holds(self, value: float) -> bool:
        """Whether it is a usual one."""
        return self.low <= value <= self.high

    def is_far(self, value: float) -> bool:
        """Whether nobody would expect it."""
        return not self.far_low <= value <= self.far_high


def usual_range(values: Sequence[float], least_share: float = 0.04) -> UsualRange | None:
    """The median and twice the spread about it; four times the spread is far off. None of fewer than five values.

    The spread is the median distance from the median, as a standard deviation (times 1.4826, the usual robust
    estimate), and at least `least_share` of the median, since a few equal readings do not promise the next. Up to a
    fifth of the values may be slips of any size. Valid for figures above 0 with one hump: a boat on one number of
    cells, read in one way. Own arithmetic; how many times the spread is common practice, no source.
    """
    if len(values) < FEWEST:
        return None
    middle = median(values)
    spread = max(_MAD_TO_SD * median(abs(value - middle) for value in values), least_share * abs(middle))
    return UsualRange(
        max(0.0, middle - 2 * spread),
        middle + 2 * spread,
        len(values),
        middle - 4 * spread,
        middle + 4 * spread,
    )
