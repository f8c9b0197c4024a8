"""Charts stay inside their frame, escape what they are given, and draw one dot for each value."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.web.charts import Dot, columns_of_dots
from tests.web.charted import shown_at_each_width, spans_px

values = st.floats(-1e6, 1e6, allow_nan=False)
dots = st.lists(
    st.builds(Dot, st.sampled_from(["1", "2", "3", "10"]), values, st.booleans(), st.text(max_size=20)),
    min_size=1,
    max_size=60,
)


@given(dots)
def test_every_value_is_one_dot_inside_the_frame(some):
    drawn = ElementTree.fromstring(str(columns_of_dots(some, "Speeds", "by state", "km/h")).translate(_NO_CONTROLS))
    circles = drawn.findall("circle")
    assert len(circles) == len(some)
    assert [circle.get("class") for circle in circles] == ["dot hollow" if dot.hollow else "dot" for dot in some]
    places = [float(circle.get("cx", "").removesuffix("%")) for circle in circles]
    assert places == sorted(set(places)), "each dot has a place of its own"
    assert all(0 < x < 100 for x in places)
    assert all(0 < float(circle.get("cy", "")) < float(drawn.get("height", "")) for circle in circles)


@given(st.lists(values, min_size=2, max_size=20, unique=True))
def test_a_higher_value_is_never_drawn_lower(some):
    drawn = str(columns_of_dots([Dot("1", value) for value in some], "t", "d", "u"))
    heights = [float(found) for found in re.findall(r'cy="([-0-9.]+)"', drawn)]
    by_value = [height for _, height in sorted(zip(some, heights, strict=True), key=lambda pair: pair[0])]
    assert by_value == sorted(by_value, reverse=True)


def test_words_are_escaped_and_nothing_is_styled_inline():
    drawn = str(columns_of_dots([Dot("<b>", 1, words='"><script>')], "<i>", "&", "km/h"))
    assert "<script" not in drawn and "<b>" not in drawn and "<i>" not in drawn and "style=" not in drawn


def test_nothing_to_draw_is_nothing():
    assert columns_of_dots([], "t", "d", "u") == ""


# Signs that XML does not allow; an HTML page does.
_NO_CONTROLS = dict.fromkeys([*range(32), *range(55296, 57344), 65534, 65535], " ")


@given(st.lists(st.builds(Dot, st.text("ab1 ", min_size=1, max_size=20), values), min_size=1, max_size=60))
def test_names_of_columns_never_run_into_one_another(some):
    drawn = ElementTree.fromstring(str(columns_of_dots(some, "t", "d", "u")))
    for width_px, shown in shown_at_each_width(drawn.findall("text")):
        spans = spans_px(shown, width_px)
        assert all(end < start for (_, end), (start, _) in zip(spans, spans[1:], strict=False))


@pytest.mark.parametrize("value", [0.0, 1e-12, -1e-12, 1e200, -1e200])
def test_one_dot_alone_is_drawn_whatever_its_size(value):
    drawn = str(columns_of_dots([Dot("1", value)], "t", "d", "u"))
    assert drawn.count("<circle") == 1 and "nan" not in drawn and "inf" not in drawn
