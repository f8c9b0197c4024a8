"""What lies under every chart: two scales, hairs and numbers, an axis, and a frame that says what is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.calc.arrays import np
from garage.web.shapes import corners, shape, words

# As wide as a figure of a label, wider than most letters, and the least room between two labels, in pixels.
LETTER_PX, _BETWEEN_PX = 10.2, 4.0
# As wide as the data are on a phone, in a column, and over the whole page at the least, with the class of what is
# only shown from there on. What stands beside them: `.plot` in garage.css.
WIDTHS_PX = ((250, ""), (564, "from-middle"), (944, "from-wide"))
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
        """Where a value lies, to a hundredth; one and the same value at both ends lies at the start."""
        return round(self.start + (value - self.low) / self._span * (self.end - self.start), 2)

    def all_at(self, values: np.ndarray) -> np.ndarray:
        """Where many values lie, to a tenth."""
        return np.round(self.start + (values - self.low) / self._span * (self.end - self.start), 1)

    def cut(self, value: float) -> float:
        """The value, or the end of the scale that it lies beyond."""
        return min(max(value, self.low), self.high)

    @property
    def _span(self) -> float:
        return self.high - self.low or 1.0


@dataclass(frozen=True)
class Paper:
    """How high a drawing is, and how far from its edges the data stay, in pixels.

    Numbers of hairs end `aside` of the data; the axis lies `drop` below them; numbers along it stand `foot` above
    the lower edge. Across, the data take the room there is: a place is a part of that, in percent.
    """

    height: int
    top: int
    bottom: int
    aside: int = 8
    drop: int = 6
    foot: int = 8

    @property
    def floor(self) -> int:
        """Where the data end below."""
        return self.height - self.bottom


class Plot:
    """A paper with two scales on it. Each method gives a piece to draw; `svg` puts pieces into the frame.

    One drawing serves every width. Only what is `stretched` widens with the page; words, dots and the thickness of
    lines stay as they are, and what names have no room on a phone are shown from a greater width on.
    """

    def __init__(self, paper: Paper, across: tuple[float, float], upward: tuple[float, float]) -> None:
        """`across` runs from left to right, `upward` from the floor up; each from its first value to its second."""
        self.paper = paper
        self.across = Scale(*across, 0, 100)
        self.upward = Scale(*upward, paper.floor, paper.top)

    def place(self, x: float, y: float) -> tuple[float, float]:
        """Where a pair of values lies."""
        return self.across.at(x), self.upward.at(y)

    def hair(self, value: float, css: str = "hair") -> Markup:
        """A line over the whole width at a value."""
        y = self.upward.at(value)
        return shape("line", css, x1=0, x2="100%", y1=y, y2=y)

    def hairs(self, marks: Sequence[float]) -> list[Markup]:
        """A hair at each mark, with its number on the left."""
        return [
            self.hair(mark) + words(-self.paper.aside, round(self.upward.at(mark) + 5, 1), said, "end")
            for mark, said in zip(marks, numbers(marks), strict=True)
        ]

    def axis(self, unit: str) -> list[Markup]:
        """The line under the data, and at the top left the unit of what goes upward."""
        floor = self.paper.floor + self.paper.drop
        line = shape("line", "axis", x1=0, x2="100%", y1=floor, y2=floor)
        return [line, words(-self.paper.aside, 14, unit, "end")]

    def along(self, names: Iterable[tuple[float, str]], beyond_px: float = 14) -> list[Markup]:
        """Names at places along the axis, in order. One that would run into another, or further than `beyond_px` past
        the end of the data, is left out until the page is wide enough."""
        left = [(x, said) for x, said in names if said]
        kept: list[tuple[float, str, str]] = []
        for width_px, css in WIDTHS_PX:
            for x, said in left:
                half = LETTER_PX * len(said) / 2
                fits = x / 100 * width_px + half <= width_px + beyond_px
                if fits and all(_apart(x, said, *other[:2], width_px) for other in kept):
                    kept.append((x, said, css))
            left = [one for one in left if (*one, css) not in kept]
        return [
            words(percent(x), self.paper.height - self.paper.foot, said, f"mid {css}".strip())
            for x, said, css in sorted(kept)
        ]

    def numbers_along(self, marks: Sequence[float], beyond_px: float = 14) -> list[Markup]:
        """The number of each mark along the axis."""
        places = [self.across.at(mark) for mark in marks]
        return self.along(zip(places, numbers(marks), strict=True), beyond_px)

    def line(self, points: Iterable[tuple[float, float]]) -> Markup:
        """A line from point to point, to be stretched."""
        return shape("polyline", "trace", points=corners(self.place(x, y) for x, y in points))

    def band(self, edges: Sequence[tuple[float, float, float]]) -> Markup:
        """The area between two edges given as (x, low, high), cut off where it leaves the scale; to be stretched."""
        around = [(x, high) for x, _, high in edges] + [(x, low) for x, low, _ in reversed(edges)]
        cut = ((self.across.cut(x), self.upward.cut(y)) for x, y in around)
        return shape("polygon", "band", points=corners(self.place(x, y) for x, y in cut))

    def stretched(self, *pieces: str) -> Markup:
        """Pieces drawn as if the data were 100 wide, as wide as the data are."""
        height = self.paper.height
        return shape(
            "svg",
            "stretched",
            Markup("").join(pieces),
            viewBox=f"0 0 100 {height}",
            preserveAspectRatio="none",
            width="100%",
            height=height,
        )

    def svg(self, title: str, about: str, pieces: Iterable[str], **data: object) -> Markup:
        """The whole drawing: a frame that says what is drawn, and the pieces in order, the last on top."""
        return framed(title, about, pieces, "plot", height=self.paper.height, **data)


def framed(title: str, about: str, pieces: Iterable[str], css: str, /, **data: object) -> Markup:
    """A frame that says what is drawn, as wide as the page has room, and the pieces in order, the last on top."""
    said = shape("title", inside=title) + (shape("desc", inside=about) if about else Markup(""))
    return shape("svg", css, said + Markup("").join(pieces), role="img", **data)


def percent(place: float) -> str:
    """A place across the data as SVG has it."""
    return f"{place:g}%"


def _apart(x: float, said: str, other_x: float, other: str, width_px: float) -> bool:
    """Whether two names in the middle of their places stay clear of each other."""
    return abs(x - other_x) / 100 * width_px >= LETTER_PX * (len(said) + len(other)) / 2 + _BETWEEN_PX
