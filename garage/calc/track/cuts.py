"""A log of a whole outing, cut into runs where the boat rests."""

from __future__ import annotations

from garage.calc.arrays import np
from garage.calc.track.course import Course
from garage.calc.track.motion import Motion

# Slower than this she rests; shorter than that it was no run. Chosen here, and adjustable.
REST_MS = 2.0
REST_S = 60.0
_SHORTEST_S = 5.0
_LEAST_TOP_MS = 10 / 3.6
_BEFORE_AND_AFTER_S = 2.0


def runs_between_rests(
    motion: Motion, course: Course, rest_s: float = REST_S, rest_ms: float = REST_MS
) -> list[tuple[float, float]]:
    """Beginning and end of each run in s: she rests when slower than `rest_ms` for `rest_s` or longer, or when
    nothing was recorded for as long."""
    moving = np.flatnonzero(course.speed_ms >= rest_ms)
    if not len(moving):
        return []
    time = motion.time_s[moving]
    parted = np.flatnonzero(np.diff(time) >= rest_s)
    first = np.concatenate(([0], parted + 1))
    last = np.concatenate((parted, [len(moving) - 1]))
    found = []
    for begin, end in zip(first.tolist(), last.tolist(), strict=True):
        top = float(course.speed_ms[moving[begin] : moving[end] + 1].max())
        if time[end] - time[begin] >= _SHORTEST_S and top >= _LEAST_TOP_MS:
            start = max(float(motion.time_s[0]), float(time[begin]) - _BEFORE_AND_AFTER_S)
            stop = min(float(motion.time_s[-1]), float(time[end]) + _BEFORE_AND_AFTER_S)
            found.append((start, stop))
    return found
