"""A cleaned track as motion: speed and distance against time, in stretches without a break."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from garage.calc.arrays import np
from garage.calc.track.cleaning import FASTEST_MS, MOST_ALONG_MS2, Cleaned, noise_of
from garage.calc.track.geodesy import distances_m, plan_m
from garage.calc.track.track import Track

# Samples further apart than this never belong to one mean.
WIDEST_STEP_S = 2.0
_SHORT_HOLE_S = 0.35
# A jittering position makes a path longer than it was; steps are lengthened until that is below a thousandth.
_LENGTHENED = 0.001
_LONGEST_STEP_S = 0.5


@dataclass(frozen=True)
class Motion:
    """The samples that count, in order of time. `linked[i]` says whether i and i + 1 belong together.

    `speed_ms` is the receiver's own for "doppler", else that of the way over the `step_s` before. `distance_m`
    adds up along the track. `step_s` is over how long steps positions were measured, `noise` the jitter that
    was found (m/s for doppler, m for position). `east_m` and `north_m` are None without positions.
    """

    index: np.ndarray
    time_s: np.ndarray
    speed_ms: np.ndarray
    distance_m: np.ndarray
    linked: np.ndarray
    source: str
    interval_s: float
    steady: bool
    noise: float
    step_s: float
    east_m: np.ndarray | None
    north_m: np.ndarray | None

    def __len__(self) -> int:
        return len(self.time_s)

    @cached_property
    def breaks(self) -> np.ndarray:
        """How many breaks lie before each sample."""
        return np.concatenate(([0], np.cumsum(~self.linked)))

    @property
    def is_too_sparse(self) -> bool:
        """Whether samples are too far apart for any mean."""
        return self.interval_s > WIDEST_STEP_S + 1e-6


def motion_of(track: Track, cleaned: Cleaned) -> Motion | None:
    """The motion of the samples that count; None if there are fewer than two."""
    index = np.flatnonzero(cleaned.kept)
    if len(index) < 2 or not cleaned.source:
        return None
    time = track.time_s[index]
    gaps = np.diff(time)
    interval = float(np.median(gaps))
    whole = np.maximum(np.round(gaps / interval), 1) * interval
    steady = float(np.mean(np.abs(gaps - whole) < 0.25 * interval)) > 0.9
    linked = gaps <= min(WIDEST_STEP_S, max(_SHORT_HOLE_S, 1.6 * interval))
    east, north = _plan(track, index)
    if cleaned.source == "doppler":
        assert track.speed_ms is not None
        speed = track.speed_ms[index]
        distance = np.concatenate(([0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 * gaps)))
        noise = noise_of(speed)
        return Motion(index, time, speed, distance, linked, "doppler", interval, steady, noise, interval, east, north)
    assert track.lat_deg is not None and track.lon_deg is not None and east is not None and north is not None
    lat, lon = track.lat_deg[index], track.lon_deg[index]
    steps = distances_m(lat, lon)
    # Rarer samples cannot tell jitter from turning.
    noise = max(noise_of(east), noise_of(north)) if interval <= _SHORT_HOLE_S else 0.0
    linked &= ~leaps(steps, gaps, noise)
    every = _every(steps, gaps, noise, interval)
    distance = _along(lat, lon, time, linked, every)
    speed = _over_steps(time, east, north, linked, every)
    step = every * interval
    return Motion(index, time, speed, distance, linked, "position", interval, steady, noise, step, east, north)


def _plan(track: Track, index: np.ndarray) -> tuple[np.ndarray | None, np.ndarray | None]:
    if track.lat_deg is None or track.lon_deg is None:
        return None, None
    if not (np.isfinite(track.lat_deg[index]) & np.isfinite(track.lon_deg[index])).any():
        return None, None
    return plan_m(track.lat_deg[index], track.lon_deg[index])


def _over_steps(time: np.ndarray, east: np.ndarray, north: np.ndarray, linked: np.ndarray, every: int) -> np.ndarray:
    """For each sample, how fast she came there from `every` samples before; the first of a stretch share a step."""
    at = np.arange(len(time))
    first = np.maximum.accumulate(np.concatenate(([0], np.where(linked, 0, at[1:]))))
    ends = np.concatenate((np.where(linked, len(time) - 1, at[:-1]), [len(time) - 1]))
    last = np.minimum.accumulate(ends[::-1])[::-1]
    before = np.maximum(at - every, first)
    here = np.minimum(np.maximum(at, before + every), last)
    # A sample that stands alone has no step of its own: it is given the one that leads to it over the break.
    alone = here == before
    before = np.where(alone, np.maximum(before - 1, 0), before)
    here = np.where(here == before, here + 1, here)
    return np.hypot(east[here] - east[before], north[here] - north[before]) / (time[here] - time[before])


def leaps(steps_m: np.ndarray, gaps_s: np.ndarray, noise_m: float) -> np.ndarray:
    """Steps that are a new beginning elsewhere: far faster than those before and after, or than any boat."""
    speed = steps_m / gaps_s
    before = np.concatenate((speed[:1] * 0, speed[:-1]))
    after = np.concatenate((speed[1:], speed[-1:] * 0))
    jitter = (10 + 12 * noise_m) / np.maximum(gaps_s, 0.5) + 12 * noise_m / gaps_s
    sudden = speed > np.maximum(before, after) + 2 * MOST_ALONG_MS2 * gaps_s + jitter
    return sudden | (speed > FASTEST_MS)


def _every(steps_m: np.ndarray, gaps_s: np.ndarray, noise_m: float, interval_s: float) -> int:
    """Every how many samples a way is measured, so that jitter does not lengthen it."""
    typical = float(np.percentile(steps_m / gaps_s, 75))
    if noise_m <= 0 or typical <= 0:
        return 1
    needed_s = noise_m / (typical * _LENGTHENED**0.5)
    return max(1, int(np.ceil(min(needed_s, _LONGEST_STEP_S) / interval_s - 1e-6)))


def _along(lat: np.ndarray, lon: np.ndarray, time: np.ndarray, linked: np.ndarray, every: int) -> np.ndarray:
    """The way along the track at each sample; both ends of a stretch are always measured at."""
    if every == 1:
        return np.concatenate(([0.0], np.cumsum(distances_m(lat, lon))))
    first = np.concatenate(([0], np.flatnonzero(~linked) + 1))
    last = np.concatenate((np.flatnonzero(~linked), [len(time) - 1]))
    within = np.arange(len(time)) - np.repeat(first, last - first + 1)
    chosen = within % every == 0
    chosen[last] = True
    at = np.flatnonzero(chosen)
    way = np.concatenate(([0.0], np.cumsum(distances_m(lat[at], lon[at]))))
    return np.interp(time, time[at], way)
