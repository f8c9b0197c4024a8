"""The corners of a run: how fast she went in, how slow she got, how fast she came out, how tight it was."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.course import Course, stretches
from garage.calc.track.motion import Motion

_G_MS2 = 9.80665
# A corner turns faster than this and by at least so much; wider than this it is a bend. Chosen here.
_SLOWEST_TURN_RAD_S = 0.12
_WIDEST_M = 150.0
_LEAST_TURN_RAD = 0.7854


@dataclass(frozen=True)
class Corner:
    """One corner. `turned_deg` is positive to the right; `kept_percent` is lowest over entry speed."""

    start_s: float
    end_s: float
    entry_ms: float
    lowest_ms: float
    exit_ms: float
    radius_m: float
    lateral_g: float
    turned_deg: float
    first: int
    last: int

    @property
    def kept_percent(self) -> float:
        """How much of the entry speed was left at the slowest point."""
        return 100 * self.lowest_ms / self.entry_ms if self.entry_ms else 0.0


def corners_of(motion: Motion, course: Course) -> list[Corner]:
    """Every corner of a motion, in order. Radius and lateral acceleration are those of its steady part: v over
    turn rate, and v times turn rate (which is v squared over radius)."""
    with np.errstate(invalid="ignore"):
        least = np.maximum(_SLOWEST_TURN_RAD_S, course.speed_ms / _WIDEST_M)
        right, left = course.turn_rad_s > least, course.turn_rad_s < -least
    found = []
    for mask in (right, left):
        for first, last in stretches(mask & course.moving, motion.breaks):
            turned = float(course.heading_rad[last] - course.heading_rad[first])
            if abs(turned) >= _LEAST_TURN_RAD and last > first:
                found.append(_corner(motion, course, first, last, turned))
    return sorted(found, key=lambda corner: corner.start_s)


def _corner(motion: Motion, course: Course, first: int, last: int, turned_rad: float) -> Corner:
    speed = course.speed_ms[first : last + 1]
    turn = np.abs(course.turn_rad_s[first : last + 1])
    steady = turn >= 0.7 * _ranked(turn, 0.9)
    rate, through = _ranked(turn[steady], 0.5), _ranked(speed[steady], 0.5)
    return Corner(
        start_s=float(motion.time_s[first]),
        end_s=float(motion.time_s[last]),
        entry_ms=float(speed[0]),
        lowest_ms=float(speed.min()),
        exit_ms=float(speed[-1]),
        radius_m=through / rate,
        lateral_g=through * rate / _G_MS2,
        turned_deg=float(np.degrees(turned_rad)),
        first=first,
        last=last,
    )


def _ranked(values: np.ndarray, share: float) -> float:
    """The value below which that share of the values lies; far quicker on a few values than a percentile."""
    return float(np.sort(values)[round(share * (len(values) - 1))])
