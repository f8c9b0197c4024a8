"""The best mean speed of a log over a time or over a distance, in one pass over its samples."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.cleaning import FASTEST_MS
from garage.calc.track.motion import Motion

# One standard deviation of a basic receiver's own speed: 0.2 m/s at 95 % along one axis (NAVSTAR GPS User
# Equipment Introduction, section 3.7). Means never come out better than 0.05 m/s (Chalko, 2009, for 10 s).
SPEED_SD_MS = 0.1
_LEAST_ERROR_MS = 0.05
PLACE_SD_M = 0.3


@dataclass(frozen=True)
class Best:
    """A mean speed, when it was, and within how much it holds by chance; `of_samples` is how many samples in a row
    it is the mean of, None where it is way over time."""

    speed_ms: float
    start_s: float
    end_s: float
    accuracy_ms: float
    of_samples: int | None = None


def peak(motion: Motion) -> Best | None:
    """The highest single sample, which reads high: it is the largest of a series that jitters.

    None if positions leap from sample to sample faster than any boat.
    """
    usable = motion.speed_ms <= FASTEST_MS
    if motion.source == "position" and motion.linked.any():
        # A sample that stands alone after a break was reached by nobody knows which way.
        usable &= np.concatenate(([False], motion.linked)) | np.concatenate((motion.linked, [False]))
    if not usable.any():
        return None
    at = int(np.argmax(np.where(usable, motion.speed_ms, -np.inf)))
    end = float(motion.time_s[at])
    start = end - motion.step_s if motion.source == "position" else end
    return Best(float(motion.speed_ms[at]), start, end, _accuracy(motion, 1, motion.step_s))


def best_over_time(motion: Motion, window_s: float) -> Best | None:
    """The highest mean over `window_s`; None if the log has no such stretch or its samples are too far apart.

    The receiver's own speed at a steady rate: the mean of window times rate samples. Else distance over time,
    both ends interpolated.
    """
    if motion.is_too_sparse or motion.interval_s > window_s * 1.05:
        return None
    count = round(window_s / motion.interval_s)
    fits = abs(window_s / motion.interval_s - count) < 0.1
    if motion.source == "doppler" and motion.steady and fits:
        return _best_of_samples(motion, count)
    return _best_of_ends(motion, window_s)


def _best_of_samples(motion: Motion, count: int) -> Best | None:
    speed, index = _on_a_grid(motion, count)
    if len(speed) < count:
        return None
    missing = np.isnan(speed)
    sums = np.cumsum(np.concatenate(([0.0], np.where(missing, 0.0, speed))))
    gaps = np.cumsum(np.concatenate(([0], missing)))
    whole = gaps[count:] == gaps[:-count]
    if not whole.any():
        return None
    means = np.where(whole, (sums[count:] - sums[:-count]) / count, -np.inf)
    at = int(np.argmax(means))
    first, last = int(index[at]), int(index[at + count - 1])
    half = motion.interval_s / 2
    accuracy = _accuracy(motion, count, count * motion.interval_s)
    start, end = float(motion.time_s[first]) - half, float(motion.time_s[last]) + half
    return Best(float(means[at]), start, end, accuracy, of_samples=count)


def _on_a_grid(motion: Motion, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Speeds one interval apart, short holes filled along the line between neighbours, breaks left empty (NaN)."""
    jumps = np.maximum(np.round(np.diff(motion.time_s) / motion.interval_s).astype(np.int64), 1)
    places = np.concatenate(([0], np.cumsum(np.where(motion.linked, jumps, count + 1))))
    if bool((jumps == 1).all()) and bool(motion.linked.all()):
        return motion.speed_ms, np.arange(len(motion))
    grid = np.arange(int(places[-1]) + 1)
    speed = np.interp(grid, places, motion.speed_ms)
    before = np.searchsorted(places, grid, side="right") - 1
    in_a_break = ~np.concatenate((motion.linked, [True]))[before] & (places[before] != grid)
    speed[in_a_break] = np.nan
    return speed, before


def _best_of_ends(motion: Motion, window_s: float) -> Best | None:
    time, way = motion.time_s, motion.distance_m
    starts = np.concatenate((time, time - window_s))
    starts = starts[(starts >= time[0]) & (starts + window_s <= time[-1] + 1e-9)]
    if not len(starts):
        return None
    ends = np.minimum(starts + window_s, time[-1])
    gone = np.interp(ends, time, way) - np.interp(starts, time, way)
    whole = _unbroken(motion, starts, ends)
    if not whole.any():
        return None
    at = int(np.argmax(np.where(whole, gone, -np.inf)))
    count = max(1, round(window_s / motion.interval_s))
    return Best(float(gone[at]) / window_s, float(starts[at]), float(ends[at]), _accuracy(motion, count, window_s))


def _unbroken(motion: Motion, starts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    if motion.breaks[-1] == 0:
        return np.ones(len(starts), dtype=bool)
    first = np.clip(np.searchsorted(motion.time_s, starts + 1e-9, side="right") - 1, 0, len(motion) - 1)
    last = np.clip(np.searchsorted(motion.time_s, ends - 1e-9, side="left"), 0, len(motion) - 1)
    return motion.breaks[first] == motion.breaks[last]


@dataclass(frozen=True)
class Windows:
    """Every stretch of `length_m` that begins or ends at a sample: begins, ends, how long each took.

    Two sets, each in order of time; a stretch with a break in it took for ever.
    """

    length_m: float
    sets: tuple[tuple[np.ndarray, np.ndarray, np.ndarray], ...]


def windows_over(motion: Motion, length_m: float) -> Windows:
    """All stretches of `length_m` along the way of a motion, ends interpolated."""
    time, way = motion.time_s, motion.distance_m
    if motion.is_too_sparse or way[-1] - way[0] < length_m:
        return Windows(length_m, ())
    sets = []
    for marks in (way, way - length_m):
        marks = marks[(marks >= way[0]) & (marks + length_m <= way[-1])]
        starts, ends = _time_at(time, way, marks, "last"), _time_at(time, way, marks + length_m, "first")
        whole = _unbroken(motion, starts, ends) & (ends > starts)
        sets.append((starts, ends, np.where(whole, ends - starts, np.inf)))
    return Windows(length_m, tuple(sets))


def best_over_distance(
    motion: Motion, windows: Windows, from_s: float = float("-inf"), to_s: float = float("inf")
) -> Best | None:
    """The highest mean over the windows' length, its length over its time, within `from_s` to `to_s`.

    None if there is no such stretch without a break.
    """
    shortest, start = float("inf"), 0.0
    for starts, ends, took in windows.sets:
        first = int(np.searchsorted(starts, from_s))
        last = int(np.searchsorted(ends, to_s + 1e-6, side="right"))
        if last > first:
            at = first + int(np.argmin(took[first:last]))
            if took[at] < shortest:
                shortest, start = float(took[at]), float(starts[at])
    if shortest == float("inf"):
        return None
    count = max(1, round(shortest / motion.interval_s))
    return Best(windows.length_m / shortest, start, start + shortest, _accuracy(motion, count, shortest))


def _time_at(time: np.ndarray, way: np.ndarray, marks: np.ndarray, which: str) -> np.ndarray:
    """When the way reaches each mark, the first time or the last (a boat that rests stays at one mark)."""
    if bool((way[1:] > way[:-1]).all()):
        return np.interp(marks, way, time)
    if which == "first":
        after = np.clip(np.searchsorted(way, marks, side="left"), 1, len(way) - 1)
    else:
        after = np.clip(np.searchsorted(way, marks, side="right"), 1, len(way) - 1)
    rise = way[after] - way[after - 1]
    share = np.where(rise > 0, (marks - way[after - 1]) / np.where(rise > 0, rise, 1), 1.0)
    return time[after - 1] + np.clip(share, 0, 1) * (time[after] - time[after - 1])


def _accuracy(motion: Motion, count: int, seconds: float) -> float:
    """Within how much a mean holds: three standard deviations of the jitter that is usual or was found, four
    for positions, whose jitter also lengthens the way."""
    if motion.source == "doppler":
        return max(_LEAST_ERROR_MS, 3 * max(SPEED_SD_MS, motion.noise) / count**0.5)
    return max(_LEAST_ERROR_MS, 4 * 2**0.5 * max(PLACE_SD_M, motion.noise) / seconds)
