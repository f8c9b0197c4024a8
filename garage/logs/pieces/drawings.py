"""A piece of a log drawn: speed and other channels over time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.calc.arrays import np
from garage.calc.track.cleaning import COUNTS, NO_READING
from garage.calc.track.measure import Looked
from garage.calc.track.slices import power_of
from garage.units import KINDS, DisplayUnits, convert
from garage.web.charts import ticks

WIDTH, HEIGHT, LOW_HEIGHT = 960, 260, 120
_LEFT, _RIGHT, _TOP, _BOTTOM = 52, 12, 22, 30
_COLUMNS = 450
_MOST_STRUCK = 150
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


class _Axes:
    def __init__(self, window: Window, low: float, high: float, height: int) -> None:
        self.window, self.height = window, height
        self.marks = ticks(low, high)

    def x(self, time: float) -> float:
        span = max(self.window.end_s - self.window.start_s, 1e-9)
        return round(_LEFT + (time - self.window.start_s) / span * (WIDTH - _LEFT - _RIGHT), 1)

    def y(self, value: float) -> float:
        share = (value - self.marks[0]) / (self.marks[-1] - self.marks[0])
        return round(self.height - _BOTTOM - share * (self.height - _TOP - _BOTTOM), 1)

    def frame(self, unit: str) -> list[Markup]:
        parts = []
        for mark in self.marks:
            parts.append(
                Markup(
                    '<line class="hair" x1="{}" x2="{}" y1="{}" y2="{}"/>'
                    '<text class="label end" x="{}" y="{}">{}</text>'
                ).format(_LEFT, WIDTH - _RIGHT, self.y(mark), self.y(mark), _LEFT - 7, self.y(mark) + 4, f"{mark:g}")
            )
        floor = self.height - _BOTTOM
        for mark in ticks(self.window.start_s, self.window.end_s, 8):
            if self.window.start_s <= mark <= self.window.end_s:
                parts.append(
                    Markup('<text class="label mid" x="{}" y="{}">{}</text>').format(
                        self.x(mark), self.height - 10, f"{mark:g}"
                    )
                )
        parts.append(
            Markup('<line class="axis" x1="{}" x2="{}" y1="{}" y2="{}"/>').format(_LEFT, WIDTH - _RIGHT, floor, floor)
        )
        parts.append(
            Markup('<text class="label" x="2" y="12">{}</text><text class="label end" x="{}" y="{}">s</text>').format(
                unit, WIDTH - 2, self.height - 10
            )
        )
        return parts


def _paths(axes: _Axes, time: np.ndarray, values: np.ndarray, breaks: np.ndarray) -> Markup:
    """A line, broken where nothing was recorded for long."""
    lines = []
    for part in np.split(np.arange(len(time)), np.flatnonzero(np.diff(breaks)) + 1):
        points = " ".join(
            f"{axes.x(t)},{axes.y(v)}" for t, v in zip(time[part].tolist(), values[part].tolist(), strict=True)
        )
        lines.append(Markup('<polyline class="trace" points="{}"/>').format(points))
    return Markup("").join(lines)


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
    axes = _Axes(window, 0.0, top, HEIGHT)
    parts = [_band(axes, band) for band in bands if band.end_s > window.start_s and band.start_s < window.end_s]
    parts += axes.frame(unit)
    parts.append(_paths(axes, time, speed, breaks))
    for at, value in zip(struck_time.tolist(), np.minimum(struck, axes.marks[-1]).tolist(), strict=True):
        x, y = axes.x(at), axes.y(value)
        parts.append(
            Markup('<path class="struck" d="M{} {}l8 8m0-8l-8 8"><title>{} s: does not count</title></path>').format(
                x - 4, y - 4, f"{at:.2f}"
            )
        )
    top_words = f"Highest shown {float(speed.max()):.1f} {unit}. The figures stand in the table below."
    return _svg(
        HEIGHT,
        "Speed over time",
        top_words,
        parts,
        f' data-trace data-from="{window.start_s:.3f}" data-to="{window.end_s:.3f}" data-left="{_LEFT}"'
        f' data-right="{WIDTH - _RIGHT}"',
    )


def _band(axes: _Axes, band: Band) -> Markup:
    left, right = max(axes.x(band.start_s), _LEFT), min(axes.x(band.end_s), WIDTH - _RIGHT)
    return Markup('<rect class="band" x="{}" y="{}" width="{}" height="{}"><title>{}</title></rect>').format(
        left, _TOP, round(max(right - left, 1.5), 1), axes.height - _TOP - _BOTTOM, band.words
    )


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
    for words, kind, values in columns + ([("Power", "power", power)] if power is not None else []):
        unit = units.unit(kind)
        time, shown, breaks = thinned(looked.track.time_s, values, window, _CHANNEL_GAP_S)
        if not len(time):
            continue
        low, high = (in_unit(float(end), kind, unit) for end in (shown.min(), shown.max()))
        factor = (high - low) / (float(shown.max()) - float(shown.min())) if shown.max() > shown.min() else 0.0
        shown = low + (shown - shown.min()) * factor
        axes = _Axes(
            window, min(low, 0.0) if kind in ("current", "shaft_speed", "percent", "power") else low, high, LOW_HEIGHT
        )
        parts = [*axes.frame(unit), _paths(axes, time, shown, breaks)]
        about = f"From {low:.1f} to {high:.1f} {unit}."
        drawn.append((words, _svg(LOW_HEIGHT, f"{words} over time", about, parts, "")))
    return drawn


def _svg(height: int, title: str, about: str, parts: Sequence[Markup], extra: str) -> Markup:
    return Markup('<svg viewBox="0 0 {} {}" role="img"{}><title>{}</title><desc>{}</desc>{}</svg>').format(
        WIDTH, height, Markup(extra), title, about, Markup("").join(parts)
    )
