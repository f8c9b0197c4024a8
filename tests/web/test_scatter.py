"""A chart over two scales: nothing for nothing, everything within its frame, words escaped."""

import re

from hypothesis import given
from hypothesis import strategies as st

from garage.web.scatter import Line, Mark, scatter

WIDTH, HEIGHT = 100, 220
numbers = st.floats(-1e5, 1e5)


def test_no_points_no_chart():
    assert scatter([], "t", "d", "mΩ", "discharges") == ""


@given(st.lists(st.tuples(numbers, numbers), min_size=1, max_size=20), st.none() | numbers)
def test_points_line_and_limit_lie_within_the_frame(points, limit):
    line = Line([points[0], points[-1]], [(x, y - 1e6, y + 1e6) for x, y in points])
    drawn = scatter([Mark(x, y) for x, y in points], "t", "d", "mΩ", "discharges", line, limit)
    assert f'height="{HEIGHT}"' in drawn
    for x, y in re.findall(r'cx="([-\d.]+)%" cy="([-\d.]+)"', drawn):
        assert 0 <= float(x) <= WIDTH and 0 <= float(y) <= HEIGHT
    for corners in re.findall(r'points="([^"]*)"', drawn):
        for corner in corners.split():
            x, y = map(float, corner.split(","))
            assert 0 <= x <= WIDTH and 0 <= y <= HEIGHT


def test_words_are_escaped_and_hollow_points_are_hollow():
    drawn = scatter([Mark(1, 2, True, "<b>"), Mark(2, 3)], "<i>", "d", "mΩ", "discharges")
    assert "<b>" not in drawn and "<i>" not in drawn and drawn.count("dot hollow") == 1
