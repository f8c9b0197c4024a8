"""Pitch by blade: mean and spread."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.props.blade_pitches import compare_blades


@given(st.lists(st.floats(10, 300), min_size=1, max_size=8))
def test_the_mean_lies_between_the_blades_and_the_spread_is_zero_only_for_equal_ones(pitches):
    found = compare_blades(pitches)
    assert min(pitches) <= found.mean_mm * (1 + 1e-12) and found.mean_mm <= max(pitches) * (1 + 1e-12)
    assert (found.spread_percent == 0) == (min(pitches) == max(pitches))


def test_two_blades_a_millimetre_apart_at_50_are_2_percent_apart():
    assert compare_blades([49.5, 50.5]).spread_percent == pytest.approx(2)
