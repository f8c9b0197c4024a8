"""Pitch by blade: the list as people write it, mean and spread."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.props.blade_pitches import compare_blades, read_pitches
from garage.units import UnreadableQuantity


@pytest.mark.parametrize("written", ["65.8; 66.2", "65,8 66,2", "65.8, 66.2", "65.8 mm; 6.62 cm", "65.8 / 66.2"])
def test_a_list_is_read_however_it_is_parted(written):
    assert read_pitches(written, "mm") == pytest.approx([65.8, 66.2])


def test_bare_figures_are_in_the_unit_that_the_person_prefers():
    assert read_pitches("2; 2.5", "in") == pytest.approx([50.8, 63.5])


@pytest.mark.parametrize("written", ["a; b", "65.8; kg", "1;2;3;4;5;6;7;8;9", "9**9"])
def test_what_is_no_list_of_lengths_is_refused_in_words(written):
    with pytest.raises(UnreadableQuantity):
        read_pitches(written, "mm")


@given(st.lists(st.floats(10, 300), min_size=1, max_size=8))
def test_the_mean_lies_between_the_blades_and_the_spread_is_zero_only_for_equal_ones(pitches):
    found = compare_blades(pitches)
    assert min(pitches) <= found.mean_mm * (1 + 1e-12) and found.mean_mm <= max(pitches) * (1 + 1e-12)
    assert (found.spread_percent == 0) == (min(pitches) == max(pitches))


def test_two_blades_a_millimetre_apart_at_50_are_2_percent_apart():
    assert compare_blades([49.5, 50.5]).spread_percent == pytest.approx(2)
