"""A piece of a log drawn: speed and other channels over time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from garage.calc.arrays import np
from garage.calc.track.cleaning import COUNTS, NO_READING
from garage.calc.track.measure import Looked
from garage.calc.track.slices import power_of
from garage.units import KINDS, DisplayUnits, convert
from garage.web.plot import Paper, Plot, percent, ticks
from garage.web.shapes import shape, told, words

_PAPER = Paper(264, top=30, bottom=32, drop=0, foot=10)
_LOW_PAPER = replace(_PAPER, height=144)
# The unit of time stands at the right end; numbers of time stay left of it.
_UNIT_PX = 14
_COLUMNS = 450
_MOST_STRUCK = 150
# In percent of the width: a span is never too thin to see.
_THINNEST = 0.4
# Telemetry often comes more rarely than places do.
_CHANNEL_GAP_S = 5.0
CHANNEL_WORDS: Mapping[str, tuple[str, str]] = {
    "voltage_v": ("Voltage", "voltage"),
    "current_a": ("Current", "current"),
    "shaft_rpm": ("Shaft speed", "shaft_speed"),
    "motor_c": ("Motor", "temperature"),
    "controller_c": ("Speed controller", "temperature"),
    "pack_c": ("Pack", "temperature"),
    "throttle_percent": ("Throttle", "percent"),
}


@dataclass(frozen=True)
class Band:
    """A span of time to be marked under the speed, such as the best 2 s."""

    start_s: float
    end_s: float
    words: str


@dataclass(frozen=True)
class Window:
    """The span of time that is drawn."""

    start_s: float
    end_s: float


def longest_gap_s(interval_s: float) -> float:
    """How long nothing may have been recorded for a line to be drawn across."""
    return max(2.0, 2.5 * interval_s)


def thinned(
    time: np.ndarray, values: np.ndarray, window: Window, gap_s: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """What the width can show: of each column its first, lowest, highest and last value, in order of time; with
    each, before how many breaks longer than `gap_s` it stands."""
    inside = (time >= window.start_s) & (time <= window.end_s) & np.isfinite(values)
    time, values = time[inside], values[inside]
    if not len(time):
        return time, values, np.empty(0, dtype=int)
    breaks = np.concatenate(([0], np.cumsum(np.diff(time) > gap_s)))
    if len(time) <= 4 * _COLUMNS:
        return time, values, breaks
    edges = np.linspace(0, len(time), _COLUMNS + 1).astype(int)
    chosen = []
    for first, last in zip(edges[:-1], edges[1:], strict=True):
        part = values[first:last]
        chosen += [first, first + int(part.argmin()), first + int(part.argmax()), last - 1]
    at = np.unique(chosen)
    return time[at], values[at], breaks[at]


def in_unit(value: float, kind: str, unit: str) -> float:
    return convert(value, kind, KINDS[kind].storage_unit, unit)


def _over_time(paper: Paper, window: Window, low: float, high: float) -> tuple[Plot, list[float]]:
    """A plot over the window, and the marks of its upward scale."""
    marks = ticks(low, high)
    return Plot(paper, (window.start_s, window.end_s), (marks[0], marks[-1])), marks


def _frame(plot: Plot, marks: Sequence[float], unit: str) -> list[Markup]:
    start, end = plot.across.low, plot.across.high
    times = [mark for mark in ticks(start, end, 8) if start <= mark <= end]
    seconds = words("100%", plot.paper.height - plot.paper.foot, "s", "end")
    return [*plot.hairs(marks), *plot.numbers_along(times, beyond_px=-_UNIT_PX), *plot.axis(unit), seconds]


def _paths(plot: Plot, time: np.ndarray, values: np.ndarray, breaks: np.ndarray) -> Markup:
    """A line, broken where nothing was recorded for long."""
    lines = []
    for part in np.split(np.arange(len(time)), np.flatnonzero(np.diff(breaks)) + 1):
        lines.append(plot.line(zip(time[part].tolist(), values[part].tolist(), strict=True)))
    return plot.stretched(*lines)


def speed_trace(looked: Looked, window: Window, bands: Sequence[Band], units: DisplayUnits) -> Markup:
    """Speed over time; samples that do not count are crosses, and bands mark what was measured where."""
    motion = looked.motion
    if motion is None:
        return Markup("")
    unit = units.unit("speed")
    scale = in_unit(3.6, "speed", unit)
    gap_s = longest_gap_s(motion.interval_s)
    time, speed, breaks = thinned(motion.time_s, motion.speed_ms * scale, window, gap_s)
    struck_time, struck = _struck(looked, window, scale)
    if not len(time):
        return Markup("")
    top = float(max(speed.max(), min(struck.max(initial=0), speed.max() * 1.6)))
    plot, marks = _over_time(_PAPER, window, 0.0, top)
    pieces = [_band(plot, band) for band in bands if band.end_s > window.start_s and band.start_s < window.end_s]
    pieces += _frame(plot, marks, unit)
    pieces.append(_paths(plot, time, speed, breaks))
    for at, value in zip(struck_time.tolist(), struck.tolist(), strict=True):
        pieces.append(_cross(plot, at, value))
    top_words = f"Highest shown {float(speed.max()):.1f} {unit}. The figures stand in the table below."
    return plot.svg(
        "Speed over time",
        top_words,
        pieces,
        data_trace="",
        data_from=f"{window.start_s:.3f}",
        data_to=f"{window.end_s:.3f}",
    )


def _band(plot: Plot, band: Band) -> Markup:
    left, right = (plot.across.at(plot.across.cut(end)) for end in (band.start_s, band.end_s))
    return shape(
        "rect",
        "band",
        told(band.words),
        x=percent(left),
        y=plot.paper.top,
        width=percent(round(max(right - left, _THINNEST), 2)),
        height=plot.paper.floor - plot.paper.top,
    )


def _cross(plot: Plot, time: float, value: float) -> Markup:
    """A sample that does not count; one beyond the scale stands at its top."""
    x, y = plot.place(time, min(value, plot.upward.high))
    said = told(f"{time:.2f} s: does not count")
    # A place of its own, since a path knows no percent.
    return shape("svg", "", shape("path", "struck", said, d="M-4-4l8 8m0-8l-8 8"), x=percent(x), y=y)


def _struck(looked: Looked, window: Window, scale: float) -> tuple[np.ndarray, np.ndarray]:
    track, reasons = looked.track, looked.cleaned.reasons
    values = track.speed_ms if looked.cleaned.source == "doppler" else None
    with np.errstate(invalid="ignore"):
        wrong = (reasons != COUNTS) & (reasons != NO_READING) & np.isfinite(track.time_s)
        wrong &= (track.time_s >= window.start_s) & (track.time_s <= window.end_s)
    at = np.flatnonzero(wrong)[:_MOST_STRUCK]
    speeds = np.nan_to_num(values[at] * scale) if values is not None else np.zeros(len(at))
    return track.time_s[at], np.maximum(speeds, 0)


def channel_traces(looked: Looked, window: Window, units: DisplayUnits) -> list[tuple[str, Markup]]:
    """Voltage, current, shaft speed and the rest under the speed, on the same time."""
    drawn = []
    power = power_of(looked.track)
    columns = [(*CHANNEL_WORDS[name], values) for name, values in looked.track.channels.items()]
    for words_of, kind, values in columns + ([("Power", "power", power)] if power is not None else []):
        unit = units.unit(kind)
        time, shown, breaks = thinned(looked.track.time_s, values, window, _CHANNEL_GAP_S)
        if not len(time):
            continue
        low, high = (in_unit(float(end), kind, unit) for end in (shown.min(), shown.max()))
        factor = (high - low) / (float(shown.max()) - float(shown.min())) if shown.max() > shown.min() else 0.0
        shown = low + (shown - shown.min()) * factor
        from_zero = kind in ("current", "shaft_speed", "percent", "power")
        plot, marks = _over_time(_LOW_PAPER, window, min(low, 0.0) if from_zero else low, high)
        pieces = [*_frame(plot, marks, unit), _paths(plot, time, shown, breaks)]
        about = f"From {low:.1f} to {high:.1f} {unit}."
        drawn.append((words_of, plot.svg(f"{words_of} over time", about, pieces)))
    return drawn
