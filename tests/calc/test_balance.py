"""Balance against aviation's handbook, a constructed boat, and the laws of statics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.balance import PlacedPart, balance, moved, place_for_lcg_mm, swapped, two_scales
from tests.published import CHECKS, holds, named, value

_BOAT = [PlacedPart(*item) for item in CHECKS["MASS-08"]["inputs"]["items (name, g, mm)"]]
_PARTS = st.lists(
    st.builds(
        PlacedPart,
        st.text(min_size=1, max_size=5),
        st.floats(min_value=0.1, max_value=3000),
        st.floats(min_value=-100, max_value=1500),
        st.floats(min_value=-200, max_value=200),
        st.floats(min_value=-50, max_value=200),
    ),
    min_size=1,
    max_size=20,
)


def _table(weights, arms):
    return [PlacedPart(str(number), *pair) for number, pair in enumerate(zip(weights, arms, strict=True))]


def _totals(parts):
    found = balance(parts)
    return found.mass_g, found.mass_g * found.lcg_mm, found.lcg_mm


@pytest.mark.parametrize(("check", "name"), named("MASS-01", "W", "M", "CG"))
def test_a_loaded_aircraft(check, name):
    inputs = CHECKS[check]["inputs"]
    computed = dict(zip(("W", "M", "CG"), _totals(_table(inputs["w_lb"], inputs["arm_in"])), strict=True))
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MASS-04", "W", "M", "CG", "W2", "M2", "CG2"))
def test_a_light_aircraft_with_a_bag_added(check, name):
    inputs = CHECKS[check]["inputs"]
    parts = _table(inputs["w_lb"], inputs["arm_in"])
    if name.endswith("2"):
        parts.append(PlacedPart("bag", 35, 42.1))
    computed = dict(zip(("W", "M", "CG"), _totals(parts), strict=True))
    assert holds(computed[name.rstrip("2")], check, name)


@pytest.mark.parametrize(("check", "name"), named("MASS-06", "M", "CG"))
def test_three_weights_on_a_plank(check, name):
    inputs = CHECKS[check]["inputs"]
    computed = dict(zip(("W", "M", "CG"), _totals(_table(inputs["w_lb"], inputs["arm_in"])), strict=True))
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MASS-02", "w"))
def test_weight_to_shift(check, name):
    """7800 lb at 81.5 in; moved from 150 to 30 in, so much brings it to 80.5 in: the point goes with the weight."""
    parts = [PlacedPart("rest", 7700, (7800 * 81.5 - 100 * 150) / 7700), PlacedPart("bags", 100, 150.0)]
    by_100_lb = balance(parts).lcg_mm - balance(moved(parts, "bags", 30.0)).lcg_mm
    assert holds(100 * (81.5 - 80.5) / by_100_lb, check, name)
    shifted = value(check, name)
    rest = PlacedPart("rest", 7800 - shifted, (7800 * 81.5 - shifted * 150) / (7800 - shifted))
    assert place_for_lcg_mm([rest, PlacedPart("bags", shifted, 150.0)], "bags", 80.5) == pytest.approx(30)


@pytest.mark.parametrize(("check", "name"), named("MASS-07", "CG_add", "CG_rem", "dCG_add", "dCG_rem"))
def test_weight_added_and_removed(check, name):
    added = balance([PlacedPart("was", 6860, 80.0), PlacedPart("new", 140, 150)]).lcg_mm
    rest = PlacedPart("rest", 6000, (6100 * 78.0 - 100 * 150) / 6000)
    removed = balance(swapped([rest, PlacedPart("old", 100, 150)], "old", 0.0)).lcg_mm
    computed = {"CG_add": added, "CG_rem": removed, "dCG_add": added - 80.0, "dCG_rem": removed - 78.0}
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MASS-08", "m", "LCG", "LCG_pack+20"))
def test_a_constructed_boat_and_its_pack_moved_forward(check, name):
    computed = {
        "m": balance(_BOAT).mass_g,
        "LCG": balance(_BOAT).lcg_mm,
        "LCG_pack+20": balance(moved(_BOAT, "pack", 380)).lcg_mm,
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MASS-09", "m", "LCG"))
def test_two_scales(check, name):
    assert holds(dict(zip(("m", "LCG"), two_scales(50, 690, 550, 1020), strict=True))[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MASS-10", "k"))
def test_gyradius_in_pitch(check, name):
    assert holds(balance(_BOAT).pitch_gyradius_mm, check, name)


@given(_PARTS, st.floats(min_value=0.01, max_value=0.99), st.data())
def test_mass_and_moment_stay_when_a_part_is_split(parts, share, data):
    chosen = data.draw(st.integers(min_value=0, max_value=len(parts) - 1))
    part = parts[chosen]
    halves = [
        PlacedPart("one", part.mass_g * share, part.x_mm, part.y_mm, part.z_mm),
        PlacedPart("two", part.mass_g * (1 - share), part.x_mm, part.y_mm, part.z_mm),
    ]
    whole, split = balance(parts), balance(parts[:chosen] + halves + parts[chosen + 1 :])
    for name in ("mass_g", "lcg_mm", "tcg_mm", "vcg_mm", "pitch_gyradius_mm"):
        assert getattr(split, name) == pytest.approx(getattr(whole, name), rel=1e-9, abs=1e-5), name


@given(_PARTS)
def test_the_balance_point_lies_between_the_outermost_parts(parts):
    found = balance(parts)
    assert min(part.x_mm for part in parts) - 1e-6 <= found.lcg_mm <= max(part.x_mm for part in parts) + 1e-6


@given(st.floats(min_value=300, max_value=900), st.floats(min_value=200, max_value=600))
def test_a_heavier_pack_can_be_placed_so_that_the_point_stays(heavier, x_mm):
    was = balance(_BOAT).lcg_mm
    heavy = moved(swapped(_BOAT, "pack", heavier), "pack", x_mm)
    place = place_for_lcg_mm(heavy, "pack", was)
    assert balance(moved(heavy, "pack", place)).lcg_mm == pytest.approx(was)


def test_an_unknown_place_gives_no_balance_in_that_direction_only():
    found = balance([PlacedPart("a", 10, 1, 2, 3), PlacedPart("b", 10, 3, None, 5)])
    assert (found.lcg_mm, found.tcg_mm, found.vcg_mm) == (2, None, 4)


def test_a_part_that_is_not_there_or_there_twice_is_named():
    with pytest.raises(ValueError, match="no part called “mast”"):
        moved(_BOAT, "mast", 10)
    with pytest.raises(ValueError, match="2 times"):
        swapped([*_BOAT, _BOAT[0]], _BOAT[0].name, 10)
    with pytest.raises(ValueError, match="weigh something"):
        balance([PlacedPart("air", 0, 10)])
    assert math.isclose(balance(_BOAT).mass_g, 1710)
