"""Which way the boat points and how fast she turns, from her track."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.motion import Motion

# Headings are taken over this long before and after a sample: shorter, and jitter turns the boat.
_HALF_S = 0.5
_SMOOTH_S = 0.25
_LEAST_CHORD_M = 1.5
_SLOWEST_MS = 2.0


@dataclass(frozen=True)
class Course:
    """For each sample of a motion: heading (radians clockwise from north, not wrapped), turn rate (radians a
    second, clockwise positive), smoothed speed; NaN where she hardly moves. `moving` says where she does.
    """

    heading_rad: np.ndarray
    turn_rad_s: np.ndarray
    speed_ms: np.ndarray
    moving: np.ndarray


def course_of(motion: Motion) -> Course:
    """The course of a motion; without positions only its smoothed speed and where she moves."""
    time = motion.time_s
    half = max(_HALF_S, motion.interval_s)
    speed = _smoothed_speed(motion)
    fast = speed > max(_SLOWEST_MS, 0.25 * _usual_top(speed))
    none = np.full(len(motion), np.nan)
    if motion.east_m is None or motion.north_m is None or motion.is_too_sparse:
        return Course(none, none, speed, fast)
    inside = _within_one_stretch(motion, half)
    east = _over(time, motion.east_m, half)
    north = _over(time, motion.north_m, half)
    known = inside & fast & (np.hypot(east, north) > _LEAST_CHORD_M)
    heading = none.copy()
    if known.any():
        heading[known] = np.unwrap(np.arctan2(east[known], north[known]))
    turn = none.copy()
    if known.sum() > 2:
        turned = _over(time[known], heading[known], half)
        took = _over(time[known], time[known], half)
        turn[known] = turned / np.maximum(took, motion.interval_s)
    if motion.source == "position":
        speed = speed * _arc_by_chord(np.nan_to_num(turn) * motion.step_s)
    return Course(heading, turn, speed, known)


def _usual_top(speed_ms: np.ndarray) -> float:
    return float(np.percentile(speed_ms, 95)) if len(speed_ms) else 0.0


def _over(time: np.ndarray, values: np.ndarray, half_s: float) -> np.ndarray:
    """How much a column grows from `half_s` before each sample to as long after."""
    return np.interp(time + half_s, time, values) - np.interp(time - half_s, time, values)


def _within_one_stretch(motion: Motion, half_s: float) -> np.ndarray:
    time, breaks = motion.time_s, motion.breaks
    first = np.searchsorted(time, time - half_s - 1e-6, side="left")
    last = np.searchsorted(time, time + half_s + 1e-6, side="right") - 1
    reaches = (time - half_s >= time[0] - 1e-6) & (time + half_s <= time[-1] + 1e-6)
    return (breaks[first] == breaks[last]) & reaches


def _smoothed_speed(motion: Motion) -> np.ndarray:
    """Speeds over a quarter of a second to each side, or the samples themselves where they are rarer."""
    half = max(_SMOOTH_S, motion.step_s / 2 if motion.source == "position" else 0.0)
    if motion.source == "doppler" and motion.interval_s > _SMOOTH_S:
        return motion.speed_ms
    time = motion.time_s
    start, end = np.maximum(time - half, time[0]), np.minimum(time + half, time[-1])
    gone = np.interp(end, time, motion.distance_m) - np.interp(start, time, motion.distance_m)
    return gone / np.maximum(end - start, 1e-9)


def _arc_by_chord(turned_rad: np.ndarray) -> np.ndarray:
    """How much longer an arc is than the straight line that was measured across it."""
    half = np.clip(np.abs(turned_rad) / 2, 1e-6, 1.4)
    return half / np.sin(half)


def stretches(mask: np.ndarray, breaks: np.ndarray) -> list[tuple[int, int]]:
    """The unbroken runs of a mask as first and last index."""
    if not mask.any():
        return []
    at = np.flatnonzero(mask)
    parted = (np.diff(at) > 1) | (np.diff(breaks[at]) > 0)
    first = np.concatenate((at[:1], at[1:][parted]))
    last = np.concatenate((at[:-1][parted], at[-1:]))
    return list(zip(first.tolist(), last.tolist(), strict=True))
