"""A chart of points along two scales, with a line through them, its range, and a limit to watch."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.web.plot import Paper, Plot, percent, ticks
from garage.web.shapes import dot, words

_PAPER = Paper(220, top=30, bottom=54, foot=29)
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

    plot = Plot(_PAPER, (across[0], across[-1]), (upward[0], upward[-1]))
    pieces = [*plot.hairs(upward), *plot.numbers_along(across), *plot.axis(unit)]
    pieces.append(words("100%", _PAPER.height - 6, along, "end"))
    if line:
        pieces.append(plot.stretched(*([plot.band(line.band)] if line.band else []), plot.line(drawn)))
    if limit is not None:
        pieces.append(plot.hair(limit, "whisker"))
        pieces.append(words("100%", round(plot.upward.at(limit) - 5, 1), "limit", "strong end"))
    for mark in marks:
        x, y = plot.place(mark.x, mark.y)
        pieces.append(dot(percent(x), y, _RADIUS, mark.hollow, mark.words))
    return plot.svg(title, description, pieces)


def _ends(values: Sequence[float]) -> tuple[float, float]:
    return min(values), max(values)
