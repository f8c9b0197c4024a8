"""What is usual of a figure: robust against slips, and close enough to tell a speed in another unit."""

from hypothesis import given
from hypothesis import strategies as st

from garage.calc.usual import FEWEST, usual_range
from garage.runs.entry.asking import speeds_in_units

_SPEEDS = st.floats(20, 200).flatmap(
    lambda middle: st.lists(st.floats(middle * 0.96, middle * 1.04), min_size=9, max_size=30)
)


def test_of_too_few_nothing_is_usual():
    assert usual_range([50.0] * (FEWEST - 1)) is None and usual_range([50.0] * FEWEST) is not None


@given(_SPEEDS)
def test_what_a_boat_does_is_usual_and_half_or_twice_of_it_is_far_off(speeds):
    found = usual_range(speeds)
    assert all(not found.is_far(speed) for speed in speeds)
    assert all(found.is_far(speed * factor) for speed in speeds for factor in (0.5, 2.0))
    assert found.far_low <= found.low <= found.high <= found.far_high and found.count == len(speeds)


@given(_SPEEDS, st.floats(0.1, 400))
def test_a_slip_among_many_moves_the_range_by_little(speeds, slip):
    clean, found = usual_range(speeds), usual_range([*speeds, slip])
    assert abs((found.low + found.high) - (clean.low + clean.high)) / 2 <= max(speeds) - min(speeds) + 1e-9


@given(_SPEEDS, st.sampled_from(["mph", "kn", "m/s"]))
def test_a_speed_typed_as_a_bare_number_of_another_unit_is_recognised(speeds, unit):
    """It is not usual as typed, and that unit is among what it may have been."""
    found, driven = usual_range(speeds), sorted(speeds)[len(speeds) // 2]
    typed = driven / speeds_in_units(1.0, "km/h")[unit]
    assert not found.holds(typed) and found.holds(speeds_in_units(typed, "km/h")[unit])
