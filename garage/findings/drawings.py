"""Charts of a finding: what was seen and of that each cause, adding up; and all effects of a hull, ranked."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from garage.web.plot import Paper, Plot, percent
from garage.web.shapes import dot, shape, words

# A name stands above its bar.
_ROW, _BAR, _BELOW_NAME, _EDGE = 48, 17, 23, 4
# The line of an interval stands under its bar.
_WHISKER_ROW = 0.3
# As many letters as stand before a figure on a phone; the table has the whole name.
_LONGEST_NAME = 34
_TIE_GAP = 5
# In percent of the width: a bar is never too thin to see.
_THINNEST = 0.3


@dataclass(frozen=True)
class Bar:
    """One part: its name, its amount, and whether it is the thing asked about or only something beside it."""

    name: str
    amount: float
    is_own: bool = False


@dataclass(frozen=True)
class Ranked:
    """One effect in percent with its interval; `hollow` where it is not known yet. Effects of one `tie` (from 1) cannot
    be told from each other."""

    name: str
    value: float
    low: float
    high: float
    hollow: bool
    tie: int = 0


def parts_chart(seen: float, parts: Sequence[Bar], interval: tuple[float, float] | None, unit: str) -> Markup:
    """Seen on top, then a bar a cause, each beginning where the last ended; a line for the interval of the own part."""
    ends, at = [], 0.0
    for part in parts:
        ends.append((at, at + part.amount))
        at += part.amount
    whiskers = sum(part.is_own for part in parts) if interval else 0
    values = [0.0, seen, *(end for pair in ends for end in pair), *(interval or ())]
    plot = _rows(1 + len(parts) + _WHISKER_ROW * whiskers, values)
    pieces = [_zero(plot), _bar(plot, 0, "seen", 0.0, seen, "bar seen")]
    row = 1.0
    for part, (start, end) in zip(parts, ends, strict=True):
        pieces.append(_bar(plot, row, part.name, start, end, "bar" if part.is_own else "bar hollow"))
        if part.is_own and interval:
            row += _WHISKER_ROW
            pieces.append(_whisker(plot, _middle(plot, row) - 4, *interval))
        row += 1
    return plot.svg(f"Parts of the difference, in {unit}", "", pieces)


def ranked_chart(effects: Sequence[Ranked]) -> Markup:
    """All effects of a hull, a dot with its interval each, in percent; a bracket before those tied to each other."""
    if not effects:
        return Markup("")
    plot = _rows(len(effects), [0.0, *(end for each in effects for end in (each.low, each.high))])
    pieces = [_zero(plot)]
    for row, each in enumerate(effects):
        middle = _middle(plot, row)
        pieces.append(_name(plot, row, each.name))
        pieces.append(_whisker(plot, middle, each.low, each.high))
        pieces.append(dot(percent(plot.across.at(each.value)), middle, 5, each.hollow))
        pieces.append(_figure(plot, row, each.value, " %"))
    for tie in sorted({each.tie for each in effects if each.tie}):
        pieces.append(_bracket(plot, tie, [row for row, each in enumerate(effects) if each.tie == tie]))
    return plot.svg("Effects on this boat in percent: nine times in ten the truth lies on the line", "", pieces)


def signed(value: float, digits: int = 1) -> str:
    """A number with its sign, a true minus."""
    text = f"{value:+.{digits}f}"
    return "0" if not float(text) else text.replace("-", "−")


def _rows(count: float, values: Sequence[float]) -> Plot:
    """Rows from the top down, and a scale over the values."""
    paper = Paper(round(2 * _EDGE + count * _ROW), top=_EDGE, bottom=_EDGE)
    return Plot(paper, (min(values), max(values)), ((paper.floor - paper.top) / _ROW, 0))


def _zero(plot: Plot) -> Markup:
    x = percent(plot.across.at(0.0))
    return shape("line", "axis", x1=x, x2=x, y1=_EDGE, y2=plot.paper.floor)


def _bar(plot: Plot, row: float, name: str, start: float, end: float, css: str) -> Markup:
    left, right = sorted((plot.across.at(start), plot.across.at(end)))
    wide = max(round(right - left, 2), _THINNEST)
    top = round(plot.upward.at(row) + _BELOW_NAME, 1)
    bar = shape("rect", css, x=percent(left), y=top, width=percent(wide), height=_BAR)
    return _name(plot, row, name) + bar + _figure(plot, row, end - start, "")


def _name(plot: Plot, row: float, name: str) -> Markup:
    short = name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"
    return words(0, _baseline(plot, row), short, "strong")


def _figure(plot: Plot, row: float, value: float, unit: str) -> Markup:
    return words("100%", _baseline(plot, row), signed(value) + unit, "end")


def _baseline(plot: Plot, row: float) -> float:
    return round(plot.upward.at(row) + 15, 1)


def _middle(plot: Plot, row: float) -> float:
    return round(plot.upward.at(row) + _BELOW_NAME + _BAR / 2, 1)


def _whisker(plot: Plot, y: float, low: float, high: float) -> Markup:
    left, right = percent(plot.across.at(low)), percent(plot.across.at(high))
    feet = [shape("line", "whisker", x1=x, x2=x, y1=y - 4, y2=y + 4) for x in (left, right)]
    return shape("line", "whisker", x1=left, x2=right, y1=y, y2=y) + Markup("").join(feet)


def _bracket(plot: Plot, tie: int, rows: Sequence[int]) -> Markup:
    """A line before these rows, with a foot at each; every bracket has a column of its own."""
    x = -_TIE_GAP * tie - _EDGE
    at = [_middle(plot, row) for row in rows]
    feet = "".join(f"M{x} {y}h{_TIE_GAP - 1}" for y in at)
    return shape("path", "whisker", d=f"M{x} {at[0]}V{at[-1]}{feet}")
