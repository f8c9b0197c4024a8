"""Charts drawn on the server: hairlines, dots, labels at the data. A table stands beside each."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.web.plot import Paper, Plot, percent, ticks
from garage.web.shapes import dot as round_mark

_PAPER = Paper(210, top=30, bottom=32)
_RADIUS = 4.5


@dataclass(frozen=True)
class Dot:
    """One value in a column; `hollow` where it is in doubt. `words` shows when a pointer rests on it."""

    column: str
    value: float
    hollow: bool = False
    words: str = ""


def columns_of_dots(dots: Sequence[Dot], title: str, description: str, unit: str) -> Markup:
    """Dots standing side by side in columns, in the order given; '' for no dots.

    Columns are as wide as they have dots, so that each run has a place of its own along the line.
    """
    if not dots:
        return Markup("")
    marks = ticks(min(dot.value for dot in dots), max(dot.value for dot in dots))
    columns = [index for index, dot in enumerate(dots) if index == 0 or dots[index - 1].column != dot.column]
    # A gap of one dot between columns, half a one at both ends.
    plot = Plot(_PAPER, (0, len(dots) + len(columns)), (marks[0], marks[-1]))
    places = _places(plot, len(dots), columns)
    drawn = [
        round_mark(percent(x), plot.upward.at(dot.value), _RADIUS, dot.hollow, dot.words)
        for dot, x in zip(dots, places, strict=True)
    ]
    names = plot.along(_names(dots, columns, places))
    return plot.svg(title, description, [*plot.hairs(marks), *names, *plot.axis(unit), *drawn])


def _places(plot: Plot, count: int, columns: Sequence[int]) -> list[float]:
    """Where each of `count` dots stands; at these indexes a column begins."""
    places, gaps = [], 0
    for index in range(count):
        gaps += index in columns
        places.append(plot.across.at(index + gaps))
    return places


def _names(dots: Sequence[Dot], columns: Sequence[int], places: Sequence[float]) -> list[tuple[float, str]]:
    """The name of each column, at its middle."""
    return [
        (round((places[start] + places[end - 1]) / 2, 2), dots[start].column)
        for start, end in zip(columns, [*columns[1:], len(dots)], strict=True)
    ]
