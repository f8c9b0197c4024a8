"""How far she went, and within how much that holds."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.course import Course
from garage.calc.track.geodesy import distances_m
from garage.calc.track.means import PLACE_SD_M, SPEED_SD_MS
from garage.calc.track.motion import Motion
from garage.calc.track.track import Track

# Turn rates are means over about two seconds, so short bends are sharper than they look. Chosen here.
_SHARPER = 2.0


@dataclass(frozen=True)
class Distance:
    """A way in m, within how much, and what it was taken from: "position" or "doppler"."""

    way_m: float
    within_m: float
    source: str


def distance_of(track: Track, motion: Motion, course: Course, *, speeds_denied: bool = False) -> Distance:
    """How far she went: by speeds over time where the receiver has them often enough and the places do not deny
    them, else from place to place."""
    if motion.source == "doppler":
        by_place = _between_places(track, motion) if motion.is_too_sparse or speeds_denied else None
        if by_place is None:
            return Distance(float(motion.distance_m[-1]), _within_of_speeds(motion), "doppler")
        return Distance(by_place, _jitter_m(by_place, len(motion), PLACE_SD_M), "position")
    way = float(motion.distance_m[-1])
    steps = float(motion.time_s[-1] - motion.time_s[0]) / motion.step_s
    jitter = _jitter_m(way, steps, max(PLACE_SD_M, motion.noise))
    return Distance(way, jitter + _cut_by_chords_m(motion, course), "position")


def _between_places(track: Track, motion: Motion) -> float | None:
    if track.lat_deg is None or track.lon_deg is None:
        return None
    lat, lon = track.lat_deg[motion.index], track.lon_deg[motion.index]
    known = np.isfinite(lat) & np.isfinite(lon)
    return float(distances_m(lat[known], lon[known]).sum()) if known.sum() > 1 else None


def _within_of_speeds(motion: Motion) -> float:
    """Three standard deviations of the speeds' jitter, which over many samples cancels."""
    return 3 * max(SPEED_SD_MS, motion.noise) * motion.interval_s * len(motion) ** 0.5


def _jitter_m(way_m: float, steps: float, sd_m: float) -> float:
    """The jitter of both ends, and what sideways jitter adds to every step."""
    steps = max(1.0, steps)
    return 4 * 2**0.5 * sd_m + steps * sd_m**2 / max(way_m / steps, sd_m)


def _cut_by_chords_m(motion: Motion, course: Course) -> float:
    """How much longer the bends may be than the straight lines from place to place: an arc by its chord, 1 + a
    twenty-fourth of the angle squared."""
    angle = np.nan_to_num(course.turn_rad_s[1:]) * motion.step_s
    gone = np.diff(motion.distance_m)
    return _SHARPER * float((gone * np.minimum(angle, np.pi) ** 2 / 24)[motion.linked].sum())
