"""How strips bend: published strains and rules, and geometry."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import bending
from tests.published import holds, named

_MM = st.floats(min_value=0.5, max_value=50)


@pytest.mark.parametrize(("check", "name"), named("MAT-08", "eps", "R_for_0.5pct"))
def test_strain_of_a_strip_and_the_radius_for_one(check, name):
    fibre = bending.outermost_fibre_mm("rectangle", 10, 2)
    computed = {
        "eps": bending.bending_strain(fibre, 100),
        "R_for_0.5pct": bending.radius_for_strain_mm(fibre, 0.005),
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MAT-09", "eps_f_pct", "R_over_t"))
def test_strain_at_which_woods_fail(check, name):
    woods = ("spruce", "basswood", "white_pine", "balsa")
    computed = {
        "eps_f_pct": [bending.WOOD_FAILURE_STRAINS[wood] * 100 for wood in woods],
        "R_over_t": [bending.smallest_radii_mm(0.5, wood)[1] for wood in woods],
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MAT-11", "R_low", "R_high", "strain_30t_pct"))
def test_rule_of_thumb_for_dry_wood(check, name):
    """20 to 30 thicknesses of 2 mm. The cautious end of the thumb lies between the two rules that are shown."""
    low, high = bending.smallest_radii_mm(1.0)
    cautious = 30 * 2 * bending.outermost_fibre_mm("rectangle", 10, 2)
    strain = bending.bending_strain(1.0, cautious)
    computed = {"R_low": low, "R_high": bending.radius_for_strain_mm(1.0, strain), "strain_30t_pct": strain * 100}
    assert holds(computed[name], check, name)
    assert low < cautious < high


@given(_MM, _MM)
def test_the_two_rules_disagree_and_the_cautious_one_is_the_larger(width, height):
    low, high = bending.smallest_radii_mm(bending.outermost_fibre_mm("rectangle", width, height))
    assert 3 < high / low < 5


@given(_MM)
def test_no_section_has_its_outermost_fibre_nearer_than_the_middle_or_beyond_its_height(height):
    for section in ("rectangle", "round", "tube", "triangle", "half-round", "angle"):
        fibre = bending.outermost_fibre_mm(section, height * 2, height, height / 5)
        assert height / 2 - 1e-9 <= fibre < height, section


def test_centroids_of_triangle_and_half_round():
    assert bending.outermost_fibre_mm("triangle", 9, 6) == pytest.approx(4)
    assert bending.outermost_fibre_mm("half-round", 12, 6) == pytest.approx(6 - 8 / math.pi)


def test_a_section_without_a_law_is_refused():
    with pytest.raises(ValueError, match="not known"):
        bending.outermost_fibre_mm("custom", 1, 1)
