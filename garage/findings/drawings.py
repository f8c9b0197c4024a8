"""Charts of a finding: what was seen and of that each cause, adding up; and all effects of a hull, ranked."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

_WIDTH, _LEFT, _RIGHT = 384, 150, 54
_ROW, _BAR, _TOP = 30, 17, 12
_LONGEST_NAME = 22
_TIE_GAP = 5


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
    values = [0.0, seen, *(end for pair in ends for end in pair), *(interval or ())]
    x = _scale(min(values), max(values))
    rows = [_row(0, "seen", 0.0, seen, "bar seen", x)]
    y = 1.0
    for part, (start, end) in zip(parts, ends, strict=True):
        rows.append(_row(y, part.name, start, end, "bar" if part.is_own else "bar hollow", x))
        if part.is_own and interval:
            y += 0.45
            rows.append(_whisker(_TOP + y * _ROW + _BAR / 2 - 4, x(interval[0]), x(interval[1])))
        y += 1
    height = round(_TOP + y * _ROW + 6)
    axis = Markup('<line class="axis" x1="{0}" x2="{0}" y1="6" y2="{1}"/>').format(x(0.0), height - 6)
    return _frame(height, f"Parts of the difference, in {unit}", axis + Markup("").join(rows))


def ranked_chart(effects: Sequence[Ranked]) -> Markup:
    """All effects of a hull, a dot with its interval each, in percent; a bracket before those tied to each other."""
    if not effects:
        return Markup("")
    x = _scale(min(0.0, *(each.low for each in effects)), max(0.0, *(each.high for each in effects)))
    rows = []
    for place, each in enumerate(effects):
        middle = _TOP + place * _ROW + _BAR / 2
        rows.append(_name(place, each.name))
        rows.append(_whisker(middle, x(each.low), x(each.high)))
        rows.append(
            Markup('<circle class="dot{}" cx="{}" cy="{}" r="5"/>').format(
                " hollow" if each.hollow else "", x(each.value), middle
            )
        )
        rows.append(_figure(place, each.value, " %"))
    for tie in sorted({each.tie for each in effects if each.tie}):
        rows.append(_bracket(tie, [place for place, each in enumerate(effects) if each.tie == tie]))
    height = _TOP + len(effects) * _ROW + 6
    axis = Markup('<line class="axis" x1="{0}" x2="{0}" y1="6" y2="{1}"/>').format(x(0.0), height - 6)
    return _frame(height, "Effects on this hull with their 90 % intervals, in percent", axis + Markup("").join(rows))


def signed(value: float, digits: int = 1) -> str:
    """A number with its sign, a true minus."""
    text = f"{value:+.{digits}f}"
    return "0" if not float(text) else text.replace("-", "−")


def _scale(low: float, high: float):
    span = high - low or 1.0

    def x(value: float) -> float:
        return round(_LEFT + (value - low) / span * (_WIDTH - _LEFT - _RIGHT), 1)

    return x


def _row(place: float, name: str, start: float, end: float, css: str, x) -> Markup:
    left, right = sorted((x(start), x(end)))
    bar = Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(
        css, left, _TOP + place * _ROW, max(round(right - left, 1), 1.5), _BAR
    )
    return _name(place, name) + bar + _figure(place, end - start, "")


def _name(place: float, name: str) -> Markup:
    short = name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"
    return Markup('<text class="label strong" x="4" y="{}">{}</text>').format(_TOP + place * _ROW + 13, short)


def _figure(place: float, value: float, unit: str) -> Markup:
    return Markup('<text class="label end" x="{}" y="{}">{}</text>').format(
        _WIDTH - 6, _TOP + place * _ROW + 13, signed(value) + unit
    )


def _whisker(y: float, left: float, right: float) -> Markup:
    return Markup('<path class="whisker" d="M{0} {2}H{1}M{0} {3}V{4}M{1} {3}V{4}"/>').format(
        left, right, y, y - 4, y + 4
    )


def _bracket(tie: int, places: Sequence[int]) -> Markup:
    """A line beside the rows at these places, with a foot at each; every bracket has a column of its own."""
    x = _LEFT - _TIE_GAP * tie
    at = [_TOP + place * _ROW + _BAR / 2 for place in places]
    feet = "".join(f"M{x} {y}h{_TIE_GAP - 1}" for y in at)
    return Markup('<path class="whisker" d="M{0} {1}V{2}{3}"/>').format(x, at[0], at[-1], feet)


def _frame(height: float, title: str, inner: Markup) -> Markup:
    return Markup('<svg viewBox="0 0 {} {}" role="img"><title>{}</title>{}</svg>').format(_WIDTH, height, title, inner)
