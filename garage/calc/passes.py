"""Passes both ways over a course: which mean, how much drift, how sure.

Passes are taken to alternate, there and back. A steady current or wind along the course then makes one direction
faster by as much as it makes the other slower.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean


@dataclass(frozen=True)
class TwoWay:
    """Speeds in the unit given. `standard_error` is None until a direction was driven twice."""

    mean_of_speeds: float
    speed_of_mean_time: float
    two_way_mean: float
    along_course_drift: float
    standard_error: float | None


def two_way(speeds: Sequence[float]) -> TwoWay:
    """What two or more alternating passes say.

    `mean_of_speeds` is their plain mean; `speed_of_mean_time` the course by the mean time, n / Σ (1 / v), always
    the lower of the two; `two_way_mean` the mean of the two directions' means; `along_course_drift` half of what
    the first direction was faster. The error is that of the two-way mean, from the scatter within a direction.
    ValueError with fewer than two passes, or one that is not above zero.
    """
    if len(speeds) < 2:
        raise ValueError("Two passes are needed at least, one each way.")
    if not all(speed > 0 for speed in speeds):
        raise ValueError("Every pass needs a speed above zero.")
    there, back = speeds[0::2], speeds[1::2]
    spare = len(speeds) - 2
    error = None
    if spare:
        scatter = math.fsum((speed - fmean(way)) ** 2 for way in (there, back) for speed in way) / spare
        error = math.sqrt(scatter * (1 / len(there) + 1 / len(back))) / 2
    return TwoWay(
        fmean(speeds),
        len(speeds) / math.fsum(1 / speed for speed in speeds),
        (fmean(there) + fmean(back)) / 2,
        (fmean(there) - fmean(back)) / 2,
        error,
    )
