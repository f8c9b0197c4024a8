"""A piece of a log from above: the way on the water with north and scale."""

from __future__ import annotations

from markupsafe import Markup

from garage.calc.arrays import np
from garage.calc.track.measure import Looked
from garage.logs.pieces.drawings import Window, in_unit, longest_gap_s
from garage.units import DisplayUnits
from garage.web.plot import Paper, Plot
from garage.web.shapes import shape, words

_PAPER = Paper(520, 520, left=34, right=34, top=34, bottom=34)
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
    plot = _to_scale(motion.east_m[at], motion.north_m[at])
    x, y = plot.across.all_at(motion.east_m[at]), plot.upward.all_at(motion.north_m[at])
    linked = np.diff(time) <= longest_gap_s(motion.interval_s)
    pieces = [*_paced(x, y, speed, linked), _scale_bar(plot), _NORTH]
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
    return plot.svg("Plan of the track", about, pieces, data_plan=points, data_unit=unit)


def _to_scale(east: np.ndarray, north: np.ndarray) -> Plot:
    """A plot around these places, a metre as long one way as the other."""
    half = max(float(np.ptp(east)), float(np.ptp(north)), _LEAST_SPAN_M) / 2
    middle = [(float(way.max()) + float(way.min())) / 2 for way in (east, north)]
    across, upward = ((at - half, at + half) for at in middle)
    return Plot(_PAPER, across, upward)


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
        opacity, width = f"{0.3 + 0.14 * level:.2f}", f"{1.2 + 0.5 * level:.1f}"
        parts.append(shape("path", "pace", stroke_opacity=opacity, stroke_width=width, d="".join(strokes)))
    return parts


def _scale_bar(plot: Plot) -> Markup:
    span_m, left, low = plot.across.high - plot.across.low, _PAPER.left, _PAPER.height
    length = next(size for size in (1000, 500, 200, 100, 50, 20, 10, 5, 2, 1) if size <= span_m / 2 or size == 1)
    end = plot.across.at(plot.across.low + length)
    bar = shape("path", "axis", d=f"M{left} {low - 10}v-6v6H{end}v-6")
    return bar + words(end + 6, low - 8, f"{length} m")


_NORTH_AT = _PAPER.width - 18
_NORTH = shape("path", "axis", d=f"M{_NORTH_AT} 40V12l-5 9m5-9l5 9") + words(_NORTH_AT, 54, "N", "mid")
