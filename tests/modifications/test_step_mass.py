"""What steps weigh: against arithmetic by hand, and what counts towards the total."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.modifications.step_mass import (
    best_mass_g,
    computed_mass_g,
    computed_measure,
    density_origin,
    impossible_size,
    missing_of,
    same_piece_twice,
    total_mass,
)
from tests.modifications.pieces import BEND, EMPTY, TABS, changed


def test_two_tabs_of_brass_weigh_what_hand_arithmetic_says():
    # 2 × 30 mm × 1 mm × 40 mm = 2400 mm³ = 2.4 cm³; 2.4 cm³ × 8.53 g/cm³ = 20.472 g
    assert computed_mass_g(TABS) == pytest.approx(20.472, rel=1e-12)


def test_round_stock_weighs_its_circle_times_its_length():
    rod = changed(EMPTY, section="round", diameter_mm=4.0, length_mm=100.0, density_kg_m3=7850.0)
    assert computed_mass_g(rod) == pytest.approx(math.pi * 4 * 100 * 7.85e-3, rel=1e-12)


def test_what_is_missing_is_said_by_name():
    assert missing_of(changed(TABS, height_mm=None, density_kg_m3=None)) == [
        "thickness",
        "density of the material",
    ]
    assert "thickness" in computed_measure(changed(TABS, height_mm=None)).origin
    assert missing_of(EMPTY) == []


def test_a_wall_too_thick_for_its_tube_has_words_and_no_mass():
    tube = changed(EMPTY, section="tube", diameter_mm=4.0, wall_mm=3.0, length_mm=50.0, density_kg_m3=2700.0)
    assert "wall" in impossible_size(tube)
    assert computed_mass_g(tube) is None


def test_the_weighed_mass_goes_before_the_computed_one():
    assert best_mass_g(changed(TABS, mass_weighed_g=21.3)) == 21.3


def test_a_piece_named_again_is_counted_once_when_told_so():
    assert total_mass([TABS, BEND]).mass_g == pytest.approx(20.472)
    assert total_mass([TABS, BEND]).origin == "sum of 1 computed"


def test_a_piece_named_twice_and_counted_twice_is_pointed_out():
    assert same_piece_twice([TABS, changed(TABS, action="bend")]) == [(1, 2)]
    assert same_piece_twice([TABS, BEND]) == []


def test_weighing_takes_the_place_of_all_before_it_and_later_steps_add():
    weigh = changed(EMPTY, action="weigh", mass_weighed_g=23.0)
    paint = changed(EMPTY, action="paint", mass_weighed_g=0.5)
    total = total_mass([TABS, weigh, paint])
    assert total.mass_g == pytest.approx(23.5)
    assert total.origin == "weighed in step 2 with all before it, plus 1 weighed"


def test_a_total_says_when_a_piece_in_it_is_not_known():
    total = total_mass([TABS, changed(TABS, width_mm=None)])
    assert total.mass_g == pytest.approx(20.472)
    assert "1 of its pieces not known" in total.caution


def test_nothing_known_is_no_total():
    assert total_mass([EMPTY, EMPTY]).mass_g is None


def test_a_density_from_the_table_carries_its_source_and_another_does_not():
    assert "Callister" in density_origin("Brass, sheet", 8530.0)
    assert density_origin("Brass, sheet", 8400.0) == "written down by you"


@given(st.floats(0.1, 500), st.floats(0.1, 500), st.floats(1, 2000), st.integers(1, 50))
def test_mass_grows_in_proportion_to_the_count(width, height, length, count):
    one = changed(TABS, width_mm=width, height_mm=height, length_mm=length, count=1)
    several = computed_mass_g(changed(one, count=count))
    assert several == pytest.approx(count * computed_mass_g(one))


@given(st.lists(st.one_of(st.none(), st.floats(-50, 500)), max_size=8))
def test_the_total_of_weighed_steps_is_their_sum_whatever_the_order(masses):
    pieces = [changed(EMPTY, mass_weighed_g=mass) for mass in masses]
    known = [mass for mass in masses if mass is not None]
    total = total_mass(pieces).mass_g
    assert total == (pytest.approx(sum(known), abs=1e-9) if known else None)
    assert total_mass(pieces[::-1]).mass_g == (pytest.approx(total, abs=1e-9) if known else None)
