"""A piece of a log from above: the way on the water with north and scale."""

from __future__ import annotations

from markupsafe import Markup

from garage.calc.arrays import np
from garage.calc.track.measure import Looked
from garage.logs.pieces.drawings import Window, in_unit, longest_gap_s
from garage.units import DisplayUnits

_SIZE = 520
_EDGE = 34
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
    inside = (motion.time_s >= window.start_s) & (motion.time_s <= window.end_s) & np.isfinite(motion.east_m)
    at = np.flatnonzero(inside)
    if len(at) < 2:
        return Markup("")
    # Smoothed, so that jitter does not break the line into specks.
    smooth = looked.course.speed_ms if looked.course is not None else motion.speed_ms
    time, speed = motion.time_s[at], smooth[at]
    east, north = motion.east_m[at], motion.north_m[at]
    span = max(float(np.ptp(east)), float(np.ptp(north)), 5.0)
    scale = (_SIZE - 2 * _EDGE) / span
    x = np.round(_SIZE / 2 + (east - (east.max() + east.min()) / 2) * scale, 1)
    y = np.round(_SIZE / 2 - (north - (north.max() + north.min()) / 2) * scale, 1)
    linked = np.diff(time) <= longest_gap_s(motion.interval_s)
    parts = [*_paced(x, y, speed, linked), _scale_bar(span, scale), _NORTH]
    unit = units.unit("speed")
    shown = in_unit(3.6, "speed", unit)
    step = max(1, len(at) // _MOST_POINTED_AT)
    points = " ".join(
        f"{t:.2f},{px},{py},{v * shown:.1f}"
        for t, px, py, v in zip(
            time[::step].tolist(), x[::step].tolist(), y[::step].tolist(), speed[::step].tolist(), strict=True
        )
    )
    frame = Markup(
        '<svg viewBox="0 0 {} {}" role="img" data-plan="{}" data-unit="{}"><title>Plan of the track</title>'
        "<desc>North is up. The faster, the darker and thicker the line.</desc>{}</svg>"
    )
    return frame.format(_SIZE, _SIZE, points, unit, Markup("").join(parts))


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
        parts.append(
            Markup('<path class="pace" stroke-opacity="{}" stroke-width="{}" d="{}"/>').format(
                f"{0.3 + 0.14 * level:.2f}", f"{1.2 + 0.5 * level:.1f}", "".join(strokes)
            )
        )
    return parts


def _scale_bar(span_m: float, scale: float) -> Markup:
    length = next(size for size in (1000, 500, 200, 100, 50, 20, 10, 5, 2, 1) if size <= span_m / 2 or size == 1)
    end = round(_EDGE + length * scale, 1)
    return Markup('<path class="axis" d="M{} {}v-6v6H{}v-6"/><text class="label" x="{}" y="{}">{} m</text>').format(
        _EDGE, _SIZE - 10, end, end + 6, _SIZE - 8, length
    )


_NORTH = Markup(
    '<path class="axis" d="M{0} 40V12l-5 9m5-9l5 9"/><text class="label mid" x="{0}" y="54">N</text>'
).format(_SIZE - 18)
