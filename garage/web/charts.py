"""Charts drawn on the server: hairlines, dots, labels at the data. A table stands beside each."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

WIDTH, HEIGHT = 640, 210
_LEFT, _RIGHT, _TOP, _BOTTOM = 44, 14, 30, 32
_DOT = 4.5
# Labels along the bottom closer than this would run into each other.
_LABEL_GAP = 34


@dataclass(frozen=True)
class Dot:
    """One value in a column; `hollow` where it is in doubt. `words` shows when a pointer rests on it."""

    column: str
    value: float
    hollow: bool = False
    words: str = ""


def ticks(low: float, high: float, most: int = 4) -> list[float]:
    """Round values from at or below `low` to at or above `high`, about `most` of them, never fewer than two.

    Steps are 1, 2 or 5 times a power of ten; ends closer than a millionth of their size count as one value.
    ValueError if an end is not finite.
    """
    if not (math.isfinite(low) and math.isfinite(high)):
        raise ValueError("a scale needs two finite ends")
    low, high = min(low, high), max(low, high)
    size = max(abs(low), abs(high), 1.0)
    span = high - low if high - low > size * 1e-6 else size * 0.1
    rough = span / max(1, most - 1)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(size * power for size in (1, 2, 5, 10) if size * power >= rough * 0.999)
    first, last = math.floor(low / step), math.ceil(high / step)
    if first == last:
        last += 1
    return [round(index * step, 10) for index in range(first, last + 1)]


def columns_of_dots(dots: Sequence[Dot], title: str, description: str, unit: str) -> Markup:
    """Dots standing side by side in columns, in the order given; '' for no dots.

    Columns are as wide as they have dots, so that each run has a place of its own along the line.
    """
    if not dots:
        return Markup("")
    marks = ticks(min(dot.value for dot in dots), max(dot.value for dot in dots))
    lowest, highest = marks[0], marks[-1]

    def y(value: float) -> float:
        share = (value - lowest) / (highest - lowest)
        return round(HEIGHT - _BOTTOM - share * (HEIGHT - _TOP - _BOTTOM), 1)

    places, labels = _along(dots)
    parts = [
        Markup('<line class="hair" x1="{}" x2="{}" y1="{}" y2="{}"/>').format(
            _LEFT, WIDTH - _RIGHT, y(mark), y(mark)
        )
        + Markup('<text class="label end" x="{}" y="{}">{}</text>').format(
            _LEFT - 8, y(mark) + 4, f"{mark:g}"
        )
        for mark in marks
    ]
    floor = HEIGHT - _BOTTOM + 6
    parts.append(
        Markup('<line class="axis" x1="{}" x2="{}" y1="{}" y2="{}"/>').format(
            _LEFT, WIDTH - _RIGHT, floor, floor
        )
    )
    parts += [
        Markup('<text class="label mid" x="{}" y="{}">{}</text>').format(x, HEIGHT - 8, words)
        for x, words in labels
    ]
    parts.append(Markup('<text class="label" x="{}" y="{}">{}</text>').format(2, 12, unit))
    parts += [
        Markup('<circle class="dot{}" cx="{}" cy="{}" r="{}"><title>{}</title></circle>').format(
            " hollow" if dot.hollow else "", x, y(dot.value), _DOT, dot.words
        )
        for dot, x in zip(dots, places, strict=True)
    ]
    frame = Markup('<svg viewBox="0 0 {} {}" role="img"><title>{}</title><desc>{}</desc>{}</svg>')
    return frame.format(WIDTH, HEIGHT, title, description, Markup("").join(parts))


def _along(dots: Sequence[Dot]) -> tuple[list[float], list[tuple[float, str]]]:
    """Where each dot stands, and the columns' names where there is room for them."""
    columns = [index for index, dot in enumerate(dots) if index == 0 or dots[index - 1].column != dot.column]
    # A gap of one dot between columns, half a one at both ends.
    slots = len(dots) + len(columns)
    slot = (WIDTH - _LEFT - _RIGHT) / slots
    places, gaps = [], 0
    for index in range(len(dots)):
        gaps += index in columns
        places.append(round(_LEFT + (index + gaps) * slot, 1))
    labels: list[tuple[float, str]] = []
    for start, end in zip(columns, [*columns[1:], len(dots)], strict=True):
        middle = round((places[start] + places[end - 1]) / 2, 1)
        if not labels or middle - labels[-1][0] >= _LABEL_GAP:
            labels.append((middle, dots[start].column))
    return places, labels
