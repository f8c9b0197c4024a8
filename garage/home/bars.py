"""The small bars of Home: where the truth about each open question may lie, all on one scale around nothing."""

from collections.abc import Sequence

from markupsafe import Markup

from garage.findings.changed import OpenQuestion
from garage.web.plot import Paper, Plot, percent
from garage.web.shapes import dot, shape

_PAPER = Paper(26, top=2, bottom=2)
_MIDDLE = 13


def interval_bars(questions: Sequence[OpenQuestion]) -> list[Markup]:
    """A broken line from end to end for each, with a hollow dot where it is likeliest; the upright line is nothing."""
    reach = max((abs(end) for one in questions for end in (one.low, one.high)), default=0) or 1.0
    plot = Plot(_PAPER, (-reach, reach), (0, 1))
    return [_bar(plot, one) for one in questions]


def _bar(plot: Plot, one: OpenQuestion) -> Markup:
    zero, low, high = (percent(plot.across.at(value)) for value in (0.0, one.low, one.high))
    pieces = [
        shape("line", "axis", x1=zero, x2=zero, y1=0, y2=plot.paper.height),
        shape("line", "reach", x1=low, x2=high, y1=_MIDDLE, y2=_MIDDLE),
        dot(percent(plot.across.at(one.percent)), _MIDDLE, 6, hollow=True),
    ]
    return plot.svg(f"Between {one.low:.1f} and {one.high:.1f} percent, likeliest {one.percent:.1f}", "", pieces)
