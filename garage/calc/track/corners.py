"""The corners of a run: how fast she went in, how slow she got, how fast she came out, how tight it was."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.circle import radius_through_m
from garage.calc.track.course import Course, stretches
from garage.calc.track.motion import Motion

_G_MS2 = 9.80665
# A corner turns faster than this and by at least so much; wider than this it is a bend. Chosen here.
_SLOWEST_TURN_RAD_S = 0.12
_WIDEST_M = 150.0
_LEAST_TURN_RAD = 0.7854
# Steady is a turn rate of at least this share of the corner's highest. Chosen here, as is what follows.
_STEADY = 0.7
_HALF_TURN_RAD = 3.1416
# Turn rates are means over about this long: what is less steady for no longer is jitter.
_JITTERS_S = 1.0
_SURELY_WITHIN = 0.75
_FEWEST = 4
_ROUNDS = 3
# A corner over sooner than so many samples is rounded off by them: it looks wider than it was.
_ROUGH_BELOW = 4.0


@dataclass(frozen=True)
class Corner:
    """One corner. `turned_deg` is positive to the right; `kept_percent` is lowest over entry speed.
    `is_rough` if she was through it in so few samples that it looks wider than it was."""

    start_s: float
    end_s: float
    entry_ms: float
    lowest_ms: float
    exit_ms: float
    radius_m: float
    lateral_g: float
    turned_deg: float
    is_rough: bool
    first: int
    last: int

    @property
    def kept_percent(self) -> float:
        """How much of the entry speed was left at the slowest point."""
        return 100 * self.lowest_ms / self.entry_ms if self.entry_ms else 0.0


def corners_of(motion: Motion, course: Course) -> list[Corner]:
    """Every corner of a motion, in order. Radius is that of the circle through its steady part, lateral acceleration
    v squared over it."""
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
    begin, end = _steady_part(turn, turn >= _STEADY * _ranked(turn, 0.9), motion.interval_s)
    through = _ranked(speed[begin:end], 0.5)
    radius = _radius_m(motion, first + begin, first + end, through, abs(turned_rad))
    if radius is None:
        radius = through / _ranked(turn[begin:end], 0.5)
    return Corner(
        start_s=float(motion.time_s[first]),
        end_s=float(motion.time_s[last]),
        entry_ms=float(speed[0]),
        lowest_ms=float(speed.min()),
        exit_ms=float(speed[-1]),
        radius_m=radius,
        lateral_g=through * through / radius / _G_MS2,
        turned_deg=float(np.degrees(turned_rad)),
        is_rough=abs(turned_rad) * radius / through < _ROUGH_BELOW * motion.interval_s,
        first=first,
        last=last,
    )


def _steady_part(turn_rad_s: np.ndarray, steady: np.ndarray, interval_s: float) -> tuple[int, int]:
    """The longest stretch of a corner that is turned steadily, but no more than half a turn of it: a boat that
    circles may drift meanwhile."""
    at = np.flatnonzero(steady)
    parted = np.flatnonzero(np.diff(at) * interval_s > _JITTERS_S)
    firsts, lasts = np.concatenate((at[:1], at[parted + 1])), np.concatenate((at[parted], at[-1:]))
    longest = int(np.argmax(lasts - firsts))
    begin, end = int(firsts[longest]), int(lasts[longest]) + 1
    most = max(3, round(_HALF_TURN_RAD / float(turn_rad_s[begin:end].mean()) / interval_s))
    spare = max(0, end - begin - most)
    return begin + spare // 2, end - (spare - spare // 2)


def _radius_m(motion: Motion, begin: int, end: int, speed_ms: float, turned_rad: float) -> float | None:
    """Radius of the circle through the samples from `begin` up to `end`; None if they show none.

    Turn rates are means over two seconds, so what looks steady may be longer than a short corner was. How long it
    was follows from its radius, speed and angle; samples beyond that are straight, make the circle wider, and go.
    """
    assert motion.east_m is not None and motion.north_m is not None
    radius = radius_through_m(motion.east_m[begin:end], motion.north_m[begin:end])
    for _ in range(_ROUNDS):
        if radius is None:
            return None
        within = round(_SURELY_WITHIN * turned_rad * radius / speed_ms / motion.interval_s)
        spare = end - begin - max(within, _FEWEST)
        if spare <= 0:
            break
        begin, end = begin + spare // 2, end - (spare - spare // 2)
        radius = radius_through_m(motion.east_m[begin:end], motion.north_m[begin:end])
    return radius


def _ranked(values: np.ndarray, share: float) -> float:
    """The value below which that share of the values lies; far quicker on a few values than a percentile."""
    return float(np.sort(values)[round(share * (len(values) - 1))])
