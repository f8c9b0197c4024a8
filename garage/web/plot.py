"""What lies under every chart: two scales, hairs and numbers, an axis, and a frame that says what is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.calc.arrays import np
from garage.web.shapes import corners, shape, words

# Wider than a letter of a label is on the mean, and the least room between two labels.
_LETTER, _BETWEEN = 7.0, 4.0
# Less than this between two ends is nothing a scale could be divided by.
_NOTHING = 1e-300


def ticks(low: float, high: float, most: int = 4) -> list[float]:
    """Round values from at or below `low` to at or above `high`, about `most` of them, never fewer than two.

    Steps are 1, 2 or 5 times a power of ten; ends closer than a millionth of their size count as one value.
    ValueError if an end, or the way between them, is not finite.
    """
    low, high = min(low, high), max(low, high)
    if not (math.isfinite(low) and math.isfinite(high) and math.isfinite(high - low)):
        raise ValueError("a scale needs two finite ends")
    size = max(abs(low), abs(high))
    span = high - low if high - low > max(size * 1e-6, _NOTHING) else max(size, 1.0) * 0.1
    rough = span / max(1, most - 1)
    exponent = math.floor(math.log10(rough))
    step = next(size * 10.0**exponent for size in (1, 2, 5, 10) if size * 10.0**exponent >= rough * 0.999)
    first, last = math.floor(low / step), math.ceil(high / step)
    if first == last:
        last += 1
    digits = max(10, 2 - exponent)
    return [round(index * step, digits) for index in range(first, last + 1)]


def numbers(marks: Sequence[float]) -> list[str]:
    """Marks of a scale in words, with as many digits as it takes to tell them apart."""
    for digits in range(6, 18):
        said = [f"{mark:.{digits}g}" for mark in marks]
        if len(set(said)) == len(set(marks)):
            break
    return said


@dataclass(frozen=True)
class Scale:
    """Values from `low` to `high` laid out from one place of the paper to another."""

    low: float
    high: float
    start: float
    end: float

    def __post_init__(self) -> None:
        if not math.isfinite(self.high - self.low):
            raise ValueError("a scale needs two finite ends")

    def at(self, value: float) -> float:
        """Where a value lies, to a tenth; one and the same value at both ends lies at the start."""
        return round(self.start + (value - self.low) / self._span * (self.end - self.start), 1)

    def all_at(self, values: np.ndarray) -> np.ndarray:
        """Where many values lie."""
        return np.round(self.start + (values - self.low) / self._span * (self.end - self.start), 1)

    def cut(self, value: float) -> float:
        """The value, or the end of the scale that it lies beyond."""
        return min(max(value, self.low), self.high)

    @property
    def _span(self) -> float:
        return self.high - self.low or 1.0


@dataclass(frozen=True)
class Paper:
    """The size of a drawing and how far from its edges the data stay.

    Numbers of hairs end `aside` of the data; the axis lies `drop` below them; numbers along it stand `foot` above
    the lower edge.
    """

    width: int
    height: int
    left: int
    right: int
    top: int
    bottom: int
    aside: int = 8
    drop: int = 6
    foot: int = 8

    @property
    def end(self) -> int:
        """Where the data end on the right."""
        return self.width - self.right

    @property
    def floor(self) -> int:
        """Where the data end below."""
        return self.height - self.bottom


class Plot:
    """A paper with two scales on it. Each method gives a piece to draw; `svg` puts pieces into the frame."""

    def __init__(self, paper: Paper, across: tuple[float, float], upward: tuple[float, float]) -> None:
        """`across` runs from left to right, `upward` from the floor up; each from its first value to its second."""
        self.paper = paper
        self.across = Scale(*across, paper.left, paper.end)
        self.upward = Scale(*upward, paper.floor, paper.top)

    def place(self, x: float, y: float) -> tuple[float, float]:
        """Where a pair of values lies."""
        return self.across.at(x), self.upward.at(y)

    def hair(self, value: float, css: str = "hair") -> Markup:
        """A line over the whole width at a value."""
        y = self.upward.at(value)
        return shape("line", css, x1=self.paper.left, x2=self.paper.end, y1=y, y2=y)

    def hairs(self, marks: Sequence[float]) -> list[Markup]:
        """A hair at each mark, with its number on the left."""
        aside = self.paper.left - self.paper.aside
        return [
            self.hair(mark) + words(aside, round(self.upward.at(mark) + 4, 1), said, "end")
            for mark, said in zip(marks, numbers(marks), strict=True)
        ]

    def axis(self, unit: str) -> list[Markup]:
        """The line under the data, and at the top left the unit of what goes upward."""
        floor = self.paper.floor + self.paper.drop
        line = shape("line", "axis", x1=self.paper.left, x2=self.paper.end, y1=floor, y2=floor)
        return [line, words(2, 12, unit)]

    def along(self, names: Iterable[tuple[float, str]], least: float = 0, until: float = math.inf) -> list[Markup]:
        """Names at places along the axis; one less than `least` from the one before, or that would run into it or
        beyond `until`, is left out."""
        kept: list[tuple[float, str]] = []
        for x, said in names:
            before, last = kept[-1] if kept else (-math.inf, "")
            room = max(least, _LETTER * (len(last) + len(said)) / 2 + _BETWEEN)
            if x - before >= room and x + _LETTER * len(said) / 2 <= until:
                kept.append((x, said))
        return [words(x, self.paper.height - self.paper.foot, said, "mid") for x, said in kept]

    def numbers_along(self, marks: Sequence[float], until: float = math.inf) -> list[Markup]:
        """The number of each mark along the axis."""
        places = [self.across.at(mark) for mark in marks]
        return self.along(zip(places, numbers(marks), strict=True), until=until)

    def line(self, points: Iterable[tuple[float, float]]) -> Markup:
        """A line from point to point."""
        return shape("polyline", "trace", points=corners(self.place(x, y) for x, y in points))

    def band(self, edges: Sequence[tuple[float, float, float]]) -> Markup:
        """The area between two edges given as (x, low, high), cut off where it leaves the scale."""
        around = [(x, high) for x, _, high in edges] + [(x, low) for x, low, _ in reversed(edges)]
        cut = ((self.across.cut(x), self.upward.cut(y)) for x, y in around)
        return shape("polygon", "band", points=corners(self.place(x, y) for x, y in cut))

    def svg(self, title: str, about: str, pieces: Iterable[str], **data: object) -> Markup:
        """The whole drawing: a frame that says what is drawn, and the pieces in order, the last on top."""
        said = shape("title", inside=title) + (shape("desc", inside=about) if about else Markup(""))
        box = f"0 0 {self.paper.width} {self.paper.height}"
        return shape("svg", "", said + Markup("").join(pieces), viewBox=box, role="img", **data)
