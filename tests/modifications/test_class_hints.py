"""Class rules for strakes as hints. The limits: 3/4 in = 19.05 mm wide, 5/16 in = 7.9375 mm deep."""

import pytest

from garage.modifications.class_hints import is_about_strakes, strake_hints
from tests.modifications.pieces import EMPTY, changed

STRIP = changed(EMPTY, section="triangle", width_mm=6.0, height_mm=5.0)


@pytest.mark.parametrize("words", ["Outer strakes", "a STRAKE on trial", "spray rail", "spray-rails", "spray rails"])
def test_strakes_and_spray_rails_are_recognised(words):
    assert is_about_strakes(words)


@pytest.mark.parametrize("words", ["Trim tabs", "brakes", "mistrakes", "guard rail", ""])
def test_other_work_is_left_alone(words):
    assert not is_about_strakes(words)


def test_every_hint_names_its_rule_and_its_source():
    hints = strake_hints([STRIP], 700, 250)
    assert len(hints) >= 5
    assert all(hint.rule and hint.source and hint.text for hint in hints)


def test_a_strip_within_the_rules_goes_beyond_none():
    assert not any(hint.beyond for hint in strake_hints([STRIP], 700, 250))


def test_a_strip_too_wide_and_too_deep_is_pointed_out_with_its_step():
    hints = strake_hints([STRIP, changed(STRIP, width_mm=20.0, height_mm=9.0)], 700, 250)
    assert [hint.beyond for hint in hints if hint.beyond] == ["step 2: 20 mm wide", "step 2: 9 mm deep"]


def test_a_large_hull_may_have_deeper_strakes():
    deep = [changed(STRIP, height_mm=12.0)]
    assert any(hint.beyond for hint in strake_hints(deep, 1100, 400))
    assert not any(hint.beyond for hint in strake_hints(deep, 1200, 400))
