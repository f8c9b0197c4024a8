"""A chart of points along two scales, with a line through them, its range, and a limit to watch."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.web.charts import HEIGHT, WIDTH, ticks

_LEFT, _RIGHT, _TOP, _BOTTOM = 50, 16, 30, 44
_RADIUS = 4


@dataclass(frozen=True)
class Mark:
    """One point; `hollow` where it is not what the line rests on. `words` shows when a pointer rests on it."""

    x: float
    y: float
    hollow: bool = False
    words: str = ""


@dataclass(frozen=True)
class Line:
    """A line by its points, with the range at each as (x, low, high); `band` may be empty."""

    points: Sequence[tuple[float, float]]
    band: Sequence[tuple[float, float, float]] = ()


def scatter(
    marks: Sequence[Mark],
    title: str,
    description: str,
    unit: str,
    along: str,
    line: Line | None = None,
    limit: float | None = None,
) -> Markup:
    """Points over a scale named `along`; '' for no points. The scales reach over points, line and limit, the
    range is cut off where it leaves them."""
    if not marks:
        return Markup("")
    drawn = line.points if line else []
    across = ticks(*_ends([mark.x for mark in marks] + [x for x, _ in drawn]), 6)
    heights = [mark.y for mark in marks] + [y for _, y in drawn] + ([limit] if limit is not None else [])
    upward = ticks(*_ends(heights))

    def x_of(value: float) -> float:
        return round(_LEFT + _share(value, across) * (WIDTH - _LEFT - _RIGHT), 1)

    def y_of(value: float) -> float:
        return round(HEIGHT - _BOTTOM - _share(value, upward) * (HEIGHT - _TOP - _BOTTOM), 1)

    parts = [
        Markup(
            '<line class="hair" x1="{}" x2="{}" y1="{}" y2="{}"/><text class="label end" x="{}" y="{}">{}</text>'
        ).format(_LEFT, WIDTH - _RIGHT, y_of(tick), y_of(tick), _LEFT - 8, y_of(tick) + 4, f"{tick:g}")
        for tick in upward
    ]
    floor = HEIGHT - _BOTTOM + 6
    parts.append(
        Markup('<line class="axis" x1="{}" x2="{}" y1="{}" y2="{}"/>').format(
            _LEFT, WIDTH - _RIGHT, floor, floor
        )
    )
    parts += [
        Markup('<text class="label mid" x="{}" y="{}">{}</text>').format(x_of(tick), floor + 15, f"{tick:g}")
        for tick in across
    ]
    parts.append(Markup('<text class="label" x="2" y="12">{}</text>').format(unit))
    parts.append(
        Markup('<text class="label end" x="{}" y="{}">{}</text>').format(WIDTH - _RIGHT, HEIGHT - 6, along)
    )
    if line and line.band:
        ends = [(x, high) for x, _, high in line.band] + [(x, low) for x, low, _ in reversed(line.band)]
        corners = " ".join(f"{x_of(x)},{y_of(min(max(y, upward[0]), upward[-1]))}" for x, y in ends)
        parts.append(Markup('<polygon class="band" points="{}"/>').format(corners))
    if drawn:
        corners = " ".join(f"{x_of(x)},{y_of(y)}" for x, y in drawn)
        parts.append(Markup('<polyline class="trace" points="{}"/>').format(corners))
    if limit is not None:
        parts.append(
            Markup(
                '<line class="whisker" x1="{}" x2="{}" y1="{}" y2="{}"/>'
                '<text class="label strong end" x="{}" y="{}">limit</text>'
            ).format(_LEFT, WIDTH - _RIGHT, y_of(limit), y_of(limit), WIDTH - _RIGHT, y_of(limit) - 5)
        )
    parts += [
        Markup('<circle class="dot{}" cx="{}" cy="{}" r="{}"><title>{}</title></circle>').format(
            " hollow" if mark.hollow else "", x_of(mark.x), y_of(mark.y), _RADIUS, mark.words
        )
        for mark in marks
    ]
    frame = Markup('<svg viewBox="0 0 {} {}" role="img"><title>{}</title><desc>{}</desc>{}</svg>')
    return frame.format(WIDTH, HEIGHT, title, description, Markup("").join(parts))


def _ends(values: Sequence[float]) -> tuple[float, float]:
    return min(values), max(values)


def _share(value: float, marks: Sequence[float]) -> float:
    return (value - marks[0]) / (marks[-1] - marks[0])
