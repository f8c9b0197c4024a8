"""The way between places over short windows, to hold the receiver's own speeds against."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.cleaning import noise_of, without_jumps
from garage.calc.track.motion import WIDEST_STEP_S, Motion, leaps
from garage.calc.track.track import Track

# Places are averaged over this long to each side: jitter turns the way into a zigzag, a boat cannot.
_SMOOTH_S = 0.4
# The way over a window is added up from chords of one second, fixes permitting: a boat's bends are longer than that.
_CHORD_S = 1.0


@dataclass(frozen=True)
class Fixes:
    """The places that count, smoothed, each where it first stood; `after_hole` says how many holes lie before it."""

    time_s: np.ndarray
    east_m: np.ndarray
    north_m: np.ndarray
    after_hole: np.ndarray
    step_s: float


@dataclass(frozen=True)
class Spans:
    """Windows of one length: the mean speed by the receiver and by the places, the turn in rad, and how fast the
    places say she gained speed in m/s². Only windows that both tell of are in it."""

    receiver_ms: np.ndarray
    places_ms: np.ndarray
    turned_rad: np.ndarray
    gained_ms2: np.ndarray


def fixes_of(track: Track, motion: Motion) -> Fixes | None:
    """The places of a motion; None where there are too few, or too seldom, to deny a speed.

    A table that repeats a fix in several rows has one place for all of them, so only the first row counts.
    """
    if motion.east_m is None or motion.north_m is None or track.lat_deg is None or track.lon_deg is None:
        return None
    at = _new_places(track.lat_deg[motion.index], track.lon_deg[motion.index])
    time, east, north = motion.time_s[at], motion.east_m[at], motion.north_m[at]
    good = without_jumps(time, east, north)
    time, east, north = time[good], east[good], north[good]
    if len(time) < 5:
        return None
    gaps, steps = np.diff(time), np.hypot(np.diff(east), np.diff(north))
    moving = steps / gaps > 0.5 * float(np.percentile(steps / gaps, 90))
    step = float(np.median(gaps[moving])) if moving.any() else float("inf")
    if not 0 < step <= WIDEST_STEP_S:
        return None
    noise = max(noise_of(east), noise_of(north))
    hole = (gaps > max(2.6 * step, _SMOOTH_S)) | leaps(steps, gaps, noise)
    east, north = _smoothed(east, hole, step), _smoothed(north, hole, step)
    return Fixes(time, east, north, np.concatenate(([0], np.cumsum(hole))), step)


def _new_places(lat: np.ndarray, lon: np.ndarray) -> np.ndarray:
    """Where a place on the earth stands that differs from the one before it."""
    with np.errstate(invalid="ignore"):
        known = (np.abs(lat) <= 90) & (np.abs(lon) <= 360) & ~((lat == 0) & (lon == 0))
    at = np.flatnonzero(known)
    moved = (np.diff(lat[at]) != 0) | (np.diff(lon[at]) != 0)
    return at[np.concatenate(([True], moved))] if len(at) else at


def _smoothed(values: np.ndarray, hole: np.ndarray, step_s: float) -> np.ndarray:
    """Means over equally many neighbours on both sides, fewer towards a hole: a steady speed stays what it was."""
    number = np.arange(len(values))
    first = np.maximum.accumulate(np.concatenate(([0], np.where(hole, number[1:], 0))))
    last = np.concatenate((np.where(hole, number[:-1], len(values) - 1), [len(values) - 1]))
    last = np.minimum.accumulate(last[::-1])[::-1]
    reach = np.minimum(np.minimum(number - first, last - number), round(_SMOOTH_S / step_s))
    sums = np.concatenate(([0.0], np.cumsum(values)))
    return (sums[number + reach + 1] - sums[number - reach]) / (2 * reach + 1)


def spans_from(motion: Motion, fixes: Fixes, starts_s: np.ndarray, chords: int) -> Spans:
    """Windows of two or more chords that begin at `starts_s`, without those with a break or a hole in them."""
    chord_s = max(_CHORD_S, fixes.step_s)
    marks = starts_s[:, None] + chord_s * np.arange(chords + 1)[None, :]
    ends = marks[:, -1]
    whole = _unbroken(motion.time_s, motion.breaks, starts_s, ends)
    whole &= _unbroken(fixes.time_s, fixes.after_hole, starts_s, ends)
    marks = marks[whole]
    length_s = chords * chord_s
    way = np.interp(marks[:, [0, -1]].T, motion.time_s, motion.distance_m)
    east, north = _chords(fixes, marks)
    # Directions are taken half a chord earlier and later, so that a bend that begins at an end is seen.
    turns = _turns(*_chords(fixes, np.column_stack((marks - chord_s / 2, marks[:, -1] + chord_s / 2))))
    # An arc is longer than its chord.
    half = np.clip(turns.mean(axis=1) / 2, 1e-6, 1.4)
    lengths = np.hypot(east, north) * (half / np.sin(half))[:, None]
    return Spans(
        (way[1] - way[0]) / length_s,
        lengths.sum(axis=1) / length_s,
        turns.sum(axis=1),
        (lengths[:, -1] - lengths[:, 0]) / chord_s**2 / (chords - 1),
    )


def _chords(fixes: Fixes, marks_s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """East and north from each mark of a window to its next."""
    east, north = (np.interp(marks_s, fixes.time_s, of) for of in (fixes.east_m, fixes.north_m))
    return np.diff(east, axis=1), np.diff(north, axis=1)


def _turns(east: np.ndarray, north: np.ndarray) -> np.ndarray:
    return np.abs((np.diff(np.arctan2(east, north), axis=1) + np.pi) % (2 * np.pi) - np.pi)


def spans_all_along(motion: Motion, fixes: Fixes, chords: int) -> Spans:
    """Windows all along a motion, each overlapping the next by half."""
    length_s = chords * max(_CHORD_S, fixes.step_s)
    starts = np.arange(motion.time_s[0], motion.time_s[-1] - length_s + 1e-6, length_s / 2)
    return spans_from(motion, fixes, starts, chords)


def _unbroken(time: np.ndarray, before: np.ndarray, starts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Which stretches lie between samples without a break; `before` counts the breaks before each sample."""
    first = np.clip(np.searchsorted(time, starts + 1e-6, side="right") - 1, 0, len(time) - 1)
    last = np.clip(np.searchsorted(time, ends - 1e-6, side="left"), 0, len(time) - 1)
    return (before[first] == before[last]) & (starts >= time[0] - 1e-6) & (ends <= time[-1] + 1e-6)
