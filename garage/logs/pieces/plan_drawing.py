"""A piece of a log from above: the way on the water with north and scale."""

from __future__ import annotations

from markupsafe import Markup

from garage.calc.arrays import np
from garage.calc.track.measure import Looked
from garage.logs.pieces.drawings import Window, in_unit, longest_gap_s
from garage.units import DisplayUnits
from garage.web.plot import Scale, framed, percent
from garage.web.shapes import shape, words

_SIDE, _EDGE = 520, 34
_LEAST_SPAN_M = 5.0
_PACES = 6
_MOST_DRAWN = 4000
_MOST_POINTED_AT = 600
# Lap upon lap is drawn no finer than in squares of this size, the first that makes few enough of them.
_CELLS = (1.5, 2.0, 3.0, 4.0, 6.0, 10.0)


def plan(looked: Looked, window: Window, units: DisplayUnits) -> Markup:
    """The way on the water from above: north up, to scale, the faster the darker and thicker. Where laps lie upon
    each other the fastest is drawn."""
    motion = looked.motion
    if motion is None or motion.east_m is None or motion.north_m is None:
        return Markup("")
    inside = (motion.time_s >= window.start_s) & (motion.time_s <= window.end_s)
    inside &= np.isfinite(motion.east_m) & np.isfinite(motion.north_m)
    at = np.flatnonzero(inside)
    if len(at) < 2:
        return Markup("")
    # Smoothed, so that jitter does not break the line into specks.
    smooth = looked.course.speed_ms if looked.course is not None else motion.speed_ms
    time, speed = motion.time_s[at], smooth[at]
    across, upward = _to_scale(motion.east_m[at], motion.north_m[at])
    x, y = across.all_at(motion.east_m[at]), upward.all_at(motion.north_m[at])
    linked = np.diff(time) <= longest_gap_s(motion.interval_s)
    way = Markup("").join(_paced(x, y, speed, linked))
    way = shape("svg", "stretched", way, viewBox=f"0 0 {_SIDE} {_SIDE}", width="100%", height="100%")
    unit = units.unit("speed")
    shown = in_unit(3.6, "speed", unit)
    step = max(1, len(at) // _MOST_POINTED_AT)
    points = " ".join(
        f"{t:.2f},{px},{py},{v * shown:.1f}"
        for t, px, py, v in zip(
            time[::step].tolist(), x[::step].tolist(), y[::step].tolist(), speed[::step].tolist(), strict=True
        )
    )
    about = "North is up. The faster, the darker and thicker the line."
    pieces = [way, *_scale_bar(across), *_NORTH]
    return framed("Plan of the track", about, pieces, "", data_plan=points, data_unit=unit)


def _to_scale(east: np.ndarray, north: np.ndarray) -> tuple[Scale, Scale]:
    """The two scales around these places, a metre as long one way as the other."""
    half = max(float(np.ptp(east)), float(np.ptp(north)), _LEAST_SPAN_M) / 2
    middle = [(float(way.max()) + float(way.min())) / 2 for way in (east, north)]
    (west, easterly), (south, northerly) = ((at - half, at + half) for at in middle)
    return Scale(west, easterly, _EDGE, _SIDE - _EDGE), Scale(south, northerly, _SIDE - _EDGE, _EDGE)


def drawn(x: np.ndarray, y: np.ndarray, speed: np.ndarray) -> np.ndarray:
    """Which points are worth drawing: all of few; of many, the fastest in each small square of the paper."""
    if len(x) <= _MOST_DRAWN:
        return np.ones(len(x), dtype=bool)
    for size in _CELLS:
        square = (x // size).astype(np.int64) * 100_000 + (y // size).astype(np.int64)
        order = np.lexsort((-speed, square))
        fastest = order[np.concatenate(([True], np.diff(square[order]) != 0))]
        if len(fastest) <= _MOST_DRAWN:
            break
    worth = np.zeros(len(x), dtype=bool)
    worth[fastest] = True
    return worth


def _paced(x: np.ndarray, y: np.ndarray, speed: np.ndarray, linked: np.ndarray) -> list[Markup]:
    """One path for each pace, of the steps of which either end is worth drawing."""
    slow, fast = float(speed.min()), float(speed.max())
    # A difference of less than 10 % of the top is no difference in pace.
    slow = min(slow, 0.9 * fast)
    pace = np.clip(((speed - slow) / max(fast - slow, 1e-9) * _PACES).astype(int), 0, _PACES - 1)
    worth = drawn(x, y, speed)
    steps = linked & (worth[1:] | worth[:-1])
    parts = []
    for level in range(_PACES):
        of_pace = np.flatnonzero(steps & (pace[1:] == level))
        if not len(of_pace):
            continue
        strokes = []
        for run in np.split(of_pace, np.flatnonzero(np.diff(of_pace) > 1) + 1):
            at = np.concatenate((run, run[-1:] + 1))
            strokes.append("M" + "L".join(f"{px} {py}" for px, py in zip(x[at].tolist(), y[at].tolist(), strict=True)))
        # The slowest still stands out against the paper.
        opacity, width = f"{0.65 + 0.07 * level:.2f}", f"{1 + 0.7 * level:.1f}"
        parts.append(shape("path", "pace", stroke_opacity=opacity, stroke_width=width, d="".join(strokes)))
    return parts


def _scale_bar(across: Scale) -> list[Markup]:
    """A round number of metres at the lower left, and a foot at either end of it."""
    span_m = across.high - across.low
    length = next(size for size in (1000, 500, 200, 100, 50, 20, 10, 5, 2, 1) if size <= span_m / 2 or size == 1)
    start, end = (percent(round(across.at(across.low + way) / _SIDE * 100, 2)) for way in (0, length))
    feet = [shape("line", "axis", x1=at, x2=at, y1="96.5%", y2="98.5%") for at in (start, end)]
    bar = shape("line", "axis", x1=start, x2=end, y1="98.5%", y2="98.5%")
    return [bar, *feet, words(end, "98.5%", f"{length} m", dx=6)]


_ARROW = shape("path", "axis", d="M0 38V10l-5 9m5-9l5 9")
_NORTH = [shape("svg", "", _ARROW, x="95%"), words("95%", 54, "N", "mid")]
