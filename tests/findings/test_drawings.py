"""Charts of a finding: parts that add up, whiskers where the intervals are, nothing off the paper."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.findings.drawings import Bar, Ranked, parts_chart, ranked_chart
from tests.web.charted import place

amounts = st.floats(-1e6, 1e6) | st.floats(-1e-9, 1e-9) | st.just(0.0)
bars = st.lists(amounts, max_size=6).map(
    lambda some: [Bar(f"cause {index}", amount, index == 0) for index, amount in enumerate(some)]
)
intervals = st.none() | st.tuples(amounts, amounts).map(lambda two: (min(two), max(two)))
effects = st.lists(
    st.tuples(amounts, st.floats(0, 1e3), st.booleans(), st.integers(0, 2)).map(
        lambda one: Ranked("effect", one[0], one[0] - one[1], one[0] + one[1], one[2], one[3])
    ),
    min_size=1,
    max_size=9,
)


def _bars_of(svg: str) -> list[tuple[float, float]]:
    return [
        (float(x), float(width)) for x, width in re.findall(r'<rect [^>]*x="([-\d.]+)%"[^>]*width="([\d.]+)%"', svg)
    ]


@given(amounts, bars, intervals)
def test_each_bar_begins_where_the_last_one_ended(seen, parts, interval):
    [_, *drawn] = _bars_of(str(parts_chart(seen, parts, interval, "km/h")))
    assert len(drawn) == len(parts)
    for (x, width), (next_x, next_width) in zip(drawn, drawn[1:], strict=False):
        ends, starts = (x, x + width), (next_x, next_x + next_width)
        # A bar that would be too thin to see is drawn a little wider.
        assert min(abs(end - start) for end in ends for start in starts) <= 0.35


@given(amounts, bars, intervals)
def test_bars_and_words_of_parts_stay_on_the_paper(seen, parts, interval):
    svg = str(parts_chart(seen, parts, interval, "km/h"))
    height = float(ElementTree.fromstring(svg).get("height", ""))
    assert "nan" not in svg and "inf" not in svg
    assert all(x >= 0 and x + wide <= 100.35 for x, wide in _bars_of(svg))
    assert all(0 < float(y) < height for y in re.findall(r' y="([-\d.]+)"', svg))
    assert svg.count("whisker") == (3 if parts and interval else 0)


def test_the_axis_of_nought_goes_from_edge_to_edge_and_bars_begin_at_it():
    for svg in (
        parts_chart(2.0, [Bar("a", 2.0, True)], None, "km/h"),
        ranked_chart([Ranked("x", 3.0, 0.0, 4.0, False)]),
    ):
        drawn = ElementTree.fromstring(str(svg))
        [axis] = [line for line in drawn.findall("line") if line.get("class") == "axis"]
        begins = [place(bar, "x") for bar in drawn.findall("rect")] + [
            place(line, "x1") for line in drawn.findall("line") if line.get("y1") == line.get("y2")
        ]
        assert place(axis, "x1") == place(axis, "x2") == min(begins)
        height, top, floor = (float(text) for text in (drawn.get("height"), axis.get("y1"), axis.get("y2")))
        assert 0 < top == height - floor < height / 4


@given(effects)
def test_every_effect_lies_within_its_whisker_and_on_the_paper(some):
    drawn = ElementTree.fromstring(str(ranked_chart(some)))
    dots = drawn.findall("circle")
    whiskers = [line for line in drawn.findall("line") if line.get("y1") == line.get("y2")]
    assert [dot.get("class") for dot in dots] == ["dot hollow" if each.hollow else "dot" for each in some]
    for dot, whisker in zip(dots, whiskers, strict=True):
        assert 0 <= place(whisker, "x1") <= place(dot, "cx") <= place(whisker, "x2") <= 100
        assert dot.get("cy") == whisker.get("y1") == whisker.get("y2")


@given(effects)
def test_a_greater_effect_is_never_drawn_further_left(some):
    places = [float(x) for x in re.findall(r'cx="([-\d.]+)%"', str(ranked_chart(some)))]
    ordered = sorted(zip([each.value for each in some], places, strict=True))
    assert [place for _, place in ordered] == sorted(places)


def test_charts_name_themselves_and_no_effects_draw_nothing():
    assert ranked_chart([]) == ""
    assert "<title>Parts of the difference, in km/h</title>" in parts_chart(0, [], None, "km/h")
    assert 'role="img"' in ranked_chart([Ranked("x", 1, 0, 2, False)])


@pytest.mark.parametrize("tie", [1, 2])
def test_a_bracket_joins_what_is_tied(tie):
    svg = str(
        ranked_chart([Ranked("a", 2, 1, 3, False, tie), Ranked("b", 2, 1, 3, False), Ranked("c", 1, 0, 2, False, tie)])
    )
    [bracket] = re.findall(r'd="(M-[\d.]+ [\d.]+V[^"]*)"', svg)
    first, _, last = re.findall(r'cy="([\d.]+)"', svg)
    assert bracket.startswith(f"M{-4 - 5 * tie} {first}V{last}") and bracket.count("h4") == 2
