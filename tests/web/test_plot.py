"""Under every chart: scales keep the order and stay on the paper, numbers tell marks apart and never run together."""

import math
import re
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from garage.calc.arrays import np
from garage.web.plot import Paper, Plot, Scale, numbers, ticks
from garage.web.shapes import dot, shape, words
from tests.web.charted import shown_at_each_width, spans_px

LINE = 13.0  # the height of a label's letters
PAPER = Paper(210, top=30, bottom=44, foot=23)

usual = st.floats(-1e6, 1e6)
# From an electron's charge to the mass of a star, and nothing.
any_size = st.builds(lambda digits, power: digits * 10.0**power, st.floats(-10, 10), st.integers(-200, 200))
most = st.integers(2, 12)
said = st.text("<>&\"'/ aé−", max_size=12)


def _of(drawn, tag: str) -> list[ElementTree.Element]:
    return ElementTree.fromstring(f"<svg>{''.join(drawn)}</svg>").findall(f".//{tag}")


@given(any_size | usual, any_size | usual, most)
def test_ticks_enclose_both_ends_and_are_about_as_many_as_asked(one, other, most):
    marks = ticks(one, other, most)
    low, high = min(one, other), max(one, other)
    slack = 2e-6 * max(abs(low), abs(high)) + 1e-300
    assert marks[0] <= low + slack and marks[-1] >= high - slack
    assert 2 <= len(marks) <= most + 2


@given(any_size | usual, any_size | usual, most)
def test_ticks_rise_in_even_steps_of_one_two_or_five(one, other, most):
    marks = ticks(one, other, most)
    steps = [after - before for before, after in zip(marks, marks[1:], strict=False)]
    ulp = math.ulp(max(abs(mark) for mark in marks))
    assert all(step > 0 for step in steps)
    assert all(abs(step - steps[0]) <= 4 * ulp + 1e-9 * steps[0] for step in steps)
    first_digit = f"{steps[0]:.3e}"
    if ulp < 1e-5 * steps[0]:
        assert first_digit[:5] in ("1.000", "2.000", "5.000")


@given(usual, st.floats(1e-3, 1e6), most)
def test_no_tick_is_left_over_beyond_the_ends(low, span, most):
    marks = ticks(low, low + span, most)
    assume(span > 1e-5 * max(1, abs(low)))
    assert marks[1] > low - 1e-9 * span and marks[-2] < low + span + 1e-9 * span


def test_ticks_are_round_numbers():
    assert ticks(83.2, 97.1) == [80, 85, 90, 95, 100]


def test_ticks_tell_values_apart_however_small_they_are():
    assert ticks(1e-9, 3e-9) == [1e-9, 2e-9, 3e-9]


@pytest.mark.parametrize("value", [0.0, -3.0, 7e-12, 4.2e9, 1e200, 5e-324])
def test_one_value_alone_has_a_scale_of_its_own(value):
    marks = ticks(value, value)
    assert marks[0] <= value <= marks[-1] and marks[0] < marks[-1]


@pytest.mark.parametrize("ends", [(math.nan, 1), (0, math.inf), (-math.inf, 0), (-1.7e308, 1.7e308)])
def test_what_has_no_finite_ends_has_no_scale(ends):
    with pytest.raises(ValueError, match="finite"):
        ticks(*ends)
    with pytest.raises(ValueError, match="finite"):
        Scale(*ends, 0, 100)


@given(any_size | usual, any_size | usual, most)
def test_numbers_tell_marks_apart_and_say_what_the_marks_are(one, other, most):
    marks = ticks(one, other, most)
    said = numbers(marks)
    assert len(set(said)) == len(marks)
    step = marks[1] - marks[0]
    assert all(abs(float(word) - mark) <= 0.5 * step for word, mark in zip(said, marks, strict=True))


def test_the_usual_numbers_are_short():
    assert numbers([0, 0.05, 0.1]) == ["0", "0.05", "0.1"]
    assert numbers([30000, 35000]) == ["30000", "35000"]
    assert numbers([1234567, 1234568]) == ["1234567", "1234568"]


@given(st.lists(any_size | usual, min_size=1, max_size=20), st.booleans())
def test_a_scale_keeps_the_order_and_stays_between_its_places(values, falls):
    start, end = (180, 30) if falls else (30, 180)
    scale = Scale(min(values), max(values), start, end)
    places = [scale.at(value) for value in sorted(values)]
    assert places == sorted(places, reverse=falls)
    assert all(30 <= place <= 180 for place in places)
    assert scale.at(min(values)) == start
    if max(values) > min(values):
        assert scale.at(max(values)) == end


@given(st.lists(usual, min_size=1, max_size=20))
def test_many_values_at_once_lie_where_each_lies_alone(values):
    scale = Scale(-1e6, 1e6, 30, 486)
    together = scale.all_at(np.array(values))
    assert np.allclose(together, [scale.at(value) for value in values], atol=0.1001)


@given(usual, usual, usual)
def test_what_is_beyond_a_scale_is_cut_to_its_end(low, high, value):
    scale = Scale(min(low, high), max(low, high), 0, 100)
    assert scale.low <= scale.cut(value) <= scale.high
    assert scale.cut(value) == value or not scale.low <= value <= scale.high


def _never_run_together(texts: list[ElementTree.Element], beyond_px: float) -> bool:
    """Whether at every width no label reaches into the next or too far beyond the end, and one is there at all."""
    for width_px, shown in shown_at_each_width(texts):
        spans = spans_px(shown, width_px)
        if any(end >= start for (_, end), (start, _) in zip(spans, spans[1:], strict=False)):
            return False
        if any(end > width_px + beyond_px + 1e-6 for _, end in spans):
            return False
    return True


@given(any_size | usual, any_size | usual, most, st.sampled_from([14, -14]))
def test_numbers_along_the_axis_never_run_into_one_another_or_beyond_the_end(one, other, most, beyond_px):
    marks = ticks(one, other, most)
    plot = Plot(PAPER, (marks[0], marks[-1]), (0, 1))
    texts = _of(plot.numbers_along(marks, beyond_px), "text")
    assert texts and _never_run_together(texts, beyond_px)


@given(st.lists(st.tuples(st.floats(0, 100), st.text("abc 12", min_size=1, max_size=30)), max_size=30))
def test_names_along_the_axis_never_run_into_one_another(names):
    plot = Plot(PAPER, (0, 1), (0, 1))
    assert _never_run_together(_of(plot.along(sorted(names)), "text"), 14)


def test_more_names_are_shown_the_wider_the_page_is():
    plot = Plot(PAPER, (0, 1), (0, 1))
    texts = _of(plot.along([(x, "state") for x in range(0, 100, 4)]), "text")
    counts = [len(shown) for _, shown in shown_at_each_width(texts)]
    assert counts == sorted(counts) and 3 <= counts[0] < counts[-1]


def test_names_with_room_are_all_there():
    plot = Plot(PAPER, (0, 1), (0, 1))
    texts = _of(plot.along([(10, "one"), (50, "two"), (90, "three")]), "text")
    assert [text.text for text in texts] == ["one", "two", "three"]
    assert {text.get("class") for text in texts} == {"label mid"}


@given(any_size | usual, any_size | usual)
@pytest.mark.parametrize("height", [140, 210, 260])
def test_hairs_lie_on_the_paper_with_room_for_a_number_each(height, one, other):
    paper = Paper(height, top=26, bottom=32)
    marks = ticks(one, other)
    plot = Plot(paper, (0, 1), (marks[0], marks[-1]))
    drawn = plot.hairs(marks)
    heights = [float(line.get("y1", "")) for line in _of(drawn, "line")]
    assert heights[0] == paper.floor and heights[-1] == paper.top
    assert [text.text for text in _of(drawn, "text")] == numbers(marks)
    assert all(below - above >= LINE for below, above in zip(heights, heights[1:], strict=False))


@given(st.lists(st.tuples(any_size, any_size, any_size), min_size=1, max_size=8))
def test_lines_and_bands_have_a_place_for_every_point_and_never_a_hole(edges):
    xs = [x for x, _, _ in edges]
    ys = [y for _, *two in edges for y in two]
    plot = Plot(PAPER, (min(xs), max(xs)), (min(ys), max(ys)))
    line = plot.line([(x, y) for x, y, _ in edges])
    band = plot.band(edges)
    assert line.count(",") == len(edges) and band.count(",") == 2 * len(edges)
    for x, y in re.findall(r"([^ \",]+),([^ \",]+)", line + band):
        assert 0 <= float(x) <= 100 and PAPER.top <= float(y) <= PAPER.floor


def test_a_line_without_points_is_a_line_without_points():
    plot = Plot(PAPER, (0, 0), (0, 0))
    assert _of([plot.line([])], "polyline")[0].get("points") == ""
    assert plot.along([]) == [] and plot.hairs([]) == [] and plot.numbers_along([]) == []


def test_a_band_that_leaves_the_scale_is_cut_off():
    plot = Plot(PAPER, (0, 10), (0, 10))
    assert plot.band([(0, -99, 99), (10, -99, 99)]) == plot.band([(0, 0, 10), (10, 0, 10)])


@given(said, said, said)
def test_a_frame_names_and_describes_what_it_holds_and_escapes_it(title, about, said):
    plot = Plot(PAPER, (0, 1), (0, 1))
    drawn = ElementTree.fromstring(plot.svg(title, about, [words(1, 2, said), dot(1, 2, 3, said=said)]))
    assert drawn.get("role") == "img" and drawn.get("height") == "210"
    assert (drawn.findtext("title") or "") == title
    assert (drawn.findtext("desc") or "") == about
    assert {element.tag for element in drawn.iter()} <= {"svg", "title", "desc", "text", "circle"}


def test_attributes_are_escaped_and_keep_their_names():
    assert shape("path", "way", d='"><script>', stroke_width=2) == (
        '<path class="way" d="&#34;&gt;&lt;script&gt;" stroke-width="2"/>'
    )
