"""A span of a log in a few equal slices of time: the figures that its charts draw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.motion import Motion
from garage.calc.track.track import Track

# Below this nobody can say what a km would cost: she hardly moved. Chosen here.
_LEAST_WAY_M = 5.0


@dataclass(frozen=True)
class Slice:
    """What happened from `start_s` to `end_s`; what the log does not tell is None or missing.

    Speeds are the mean and the highest of the samples, in m/s; `east_m` and `north_m` where she was at the
    first sample, from the beginning of the log's track. `channels` are means in the units of their names,
    `power_w` the mean of voltage times current, `wh_per_km` that power over time and way.
    """

    start_s: float
    end_s: float
    mean_ms: float | None
    highest_ms: float | None
    east_m: float | None
    north_m: float | None
    channels: Mapping[str, float | None]
    power_w: float | None
    wh_per_km: float | None


def power_of(track: Track) -> np.ndarray | None:
    """Voltage times current of every sample in W; None if the log lacks either."""
    volts, amps = track.channels.get("voltage_v"), track.channels.get("current_a")
    return None if volts is None or amps is None else volts * amps


def slices_of(track: Track, motion: Motion | None, start_s: float, end_s: float, count: int) -> list[Slice]:
    """The span in `count` slices of one length. ValueError if it has no length."""
    if not (end_s > start_s and count > 0):
        raise ValueError("A span begins before it ends.")
    edges = np.linspace(start_s, end_s, count + 1)
    power = power_of(track)
    found = []
    for at in range(count):
        begin, end = float(edges[at]), float(edges[at + 1])
        with np.errstate(invalid="ignore"):
            inside = (track.time_s >= begin) & ((track.time_s < end) | ((at == count - 1) & (track.time_s <= end)))
        watts = None if power is None else _mean(power[inside])
        moved = _moved(motion, begin, end, at == count - 1)
        way_m = moved[4] or 0.0
        per_km = watts * (end - begin) / 3600 / (way_m / 1000) if watts is not None and way_m >= _LEAST_WAY_M else None
        channels = {name: _mean(column[inside]) for name, column in track.channels.items()}
        found.append(Slice(begin, end, *moved[:4], channels, watts, per_km))
    return found


def _mean(values: np.ndarray) -> float | None:
    known = values[np.isfinite(values)]
    return float(known.mean()) if len(known) else None


def _moved(
    motion: Motion | None, start_s: float, end_s: float, is_last: bool
) -> tuple[float | None, float | None, float | None, float | None, float | None]:
    """Mean and highest speed, east and north at the first sample, and the way."""
    if motion is None:
        return None, None, None, None, None
    first = int(np.searchsorted(motion.time_s, start_s))
    end = int(np.searchsorted(motion.time_s, end_s, side="right" if is_last else "left"))
    if end <= first:
        return None, None, None, None, None
    east, north = (
        None if column is None or not np.isfinite(column[first]) else float(column[first])
        for column in (motion.east_m, motion.north_m)
    )
    speed = motion.speed_ms[first:end]
    way = float(np.diff(np.interp((start_s, end_s), motion.time_s, motion.distance_m))[0])
    return float(speed.mean()), float(speed.max()), east, north, way
