"""Straight passes of a run, and the average of two in opposite directions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from garage.calc.arrays import np
from garage.calc.track.corners import Corner
from garage.calc.track.course import Course, stretches
from garage.calc.track.means import Windows, best_over_distance
from garage.calc.track.motion import Motion

# A pass is at least this long and this fast; opposite means the other way within this. Chosen here.
_SHORTEST_M = 20.0
_SLOWEST_MS = 3.0
_SHARE_OF_TOP = 0.5
_STRAYS_RAD = 0.35
_OPPOSITE_WITHIN_DEG = 30.0
# Cosine of the angle (20 degrees) within which a step still runs along the pass.
_ALONG = 0.94
# Full-size straight-line rules give an hour between the two runs; no limit for models was found.
USUAL_LIMIT_S = 3600.0


@dataclass(frozen=True)
class Pass:
    """One straight pass. `heading_deg` is None without positions; `course_ms` None if she ran less than the course."""

    start_s: float
    end_s: float
    heading_deg: float | None
    length_m: float
    entry_ms: float
    peak_ms: float
    exit_ms: float
    course_ms: float | None
    course_start_s: float | None
    course_within_ms: float | None
    first: int
    last: int


@dataclass(frozen=True)
class TwoWay:
    """The average of two opposite passes over the same length.

    `speed_ms` is the mean of the two speeds, in which a steady current cancels; `by_times_ms` is both lengths
    over both times, which is never more. `first` and `second` are places in the list of passes. `accuracy_ms` is
    within how much the mean holds by chance, the two passes being independent.
    """

    course_m: float
    speed_ms: float
    by_times_ms: float
    first: int
    second: int
    apart_s: float
    accuracy_ms: float


def passes_of(motion: Motion, course: Course, corners: Sequence[Corner], windows: Windows) -> list[Pass]:
    """Every straight pass of a motion, in order, with its best mean over the length of `windows`."""
    if motion.is_too_sparse:
        return []
    straight = course.moving & (
        course.speed_ms >= max(_SLOWEST_MS, _SHARE_OF_TOP * float(np.percentile(course.speed_ms, 95)))
    )
    for corner in corners:
        straight[corner.first : corner.last + 1] = False
    found = []
    for first, last in stretches(straight, motion.breaks):
        for start, end in _straight_parts(course, first, last):
            start, end = _extended(motion, start, end)
            if motion.distance_m[end] - motion.distance_m[start] >= _SHORTEST_M:
                found.append(_pass(motion, course, start, end, windows))
    return found


def _straight_parts(course: Course, first: int, last: int) -> list[tuple[int, int]]:
    """A stretch cut wherever the heading has strayed from that of the part so far."""
    heading = course.heading_rad[first : last + 1]
    if np.isnan(heading).all():
        return [(first, last)]
    if np.ptp(heading) <= _STRAYS_RAD:
        return [(first, last)]
    parts, start = [], 0
    while start < len(heading):
        low = np.minimum.accumulate(heading[start:])
        high = np.maximum.accumulate(heading[start:])
        strayed = np.flatnonzero(high - low > _STRAYS_RAD)
        end = start + int(strayed[0]) - 1 if len(strayed) else len(heading) - 1
        parts.append((first + start, first + max(end, start)))
        start = max(end, start) + 1
    return parts


def _extended(motion: Motion, first: int, last: int) -> tuple[int, int]:
    """The pass lengthened at both ends for as long as she still runs along its line."""
    east, north = motion.east_m, motion.north_m
    if east is None or north is None or last <= first:
        return first, last
    along_e, along_n = float(east[last] - east[first]), float(north[last] - north[first])
    length = hypot(along_e, along_n)
    if length < 1e-6:
        return first, last
    most = max(1, round(1.5 / motion.interval_s))
    every = max(1, round(0.25 / motion.interval_s))
    ends = [first, last]
    for place, outwards in enumerate((-1, 1)):
        here = ends[place]
        there = here + outwards * np.arange(1, most + 1)
        there = there[(there >= 0) & (there < len(motion))]
        back = np.clip(there - outwards * every, 0, len(motion) - 1)
        step_e, step_n = east[there] - east[back], north[there] - north[back]
        size = np.hypot(step_e, step_n)
        on_line = outwards * (step_e * along_e + step_n * along_n) >= _ALONG * size * length
        good = on_line & (size > 1e-6) & (motion.breaks[there] == motion.breaks[here])
        ends[place] = here + outwards * (len(good) if good.all() else int(np.argmin(good)))
    return ends[0], ends[1]


def _pass(motion: Motion, course: Course, first: int, last: int, windows: Windows) -> Pass:
    start, end = float(motion.time_s[first]), float(motion.time_s[last])
    best = best_over_distance(motion, windows, start, end)
    heading = None
    if motion.east_m is not None and motion.north_m is not None:
        east = motion.east_m[last] - motion.east_m[first]
        north = motion.north_m[last] - motion.north_m[first]
        # A receiver may know its speed where it has lost its place.
        heading = float(np.degrees(np.arctan2(east, north)) % 360) if np.isfinite(east + north) else None
    return Pass(
        start_s=start,
        end_s=end,
        heading_deg=heading,
        length_m=float(motion.distance_m[last] - motion.distance_m[first]),
        entry_ms=float(course.speed_ms[first]),
        peak_ms=float(motion.speed_ms[first : last + 1].max())
        if motion.source == "doppler"
        else float(course.speed_ms[first : last + 1].max()),
        exit_ms=float(course.speed_ms[last]),
        course_ms=best.speed_ms if best else None,
        course_start_s=best.start_s if best else None,
        course_within_ms=best.accuracy_ms if best else None,
        first=first,
        last=last,
    )


def two_way(passes: Sequence[Pass], course_m: float, limit_s: float = USUAL_LIMIT_S) -> TwoWay | None:
    """The best average of a pass and the next one the other way, begun within `limit_s`; None if there is none."""
    best = None
    for first, out in enumerate(passes):
        second = _next_opposite(passes, first, limit_s)
        if second is None:
            continue
        back = passes[second]
        assert out.course_ms is not None and back.course_ms is not None
        mean = (out.course_ms + back.course_ms) / 2
        if best is None or mean > best.speed_ms:
            by_times = 2 / (1 / out.course_ms + 1 / back.course_ms)
            within = hypot(out.course_within_ms or 0.0, back.course_within_ms or 0.0) / 2
            best = TwoWay(course_m, mean, by_times, first, second, back.start_s - out.start_s, within)
    return best


def _next_opposite(passes: Sequence[Pass], first: int, limit_s: float) -> int | None:
    out = passes[first]
    if out.course_ms is None or out.heading_deg is None:
        return None
    for second in range(first + 1, len(passes)):
        back = passes[second]
        if back.start_s - out.start_s > limit_s:
            return None
        if back.course_ms is None or back.heading_deg is None:
            continue
        if abs((back.heading_deg - out.heading_deg) % 360 - 180) <= _OPPOSITE_WITHIN_DEG:
            return second
    return None
