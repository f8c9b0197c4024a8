"""Both ways over a course: two means, drift and error."""

from statistics import harmonic_mean, mean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.passes import two_way

_SPEED = st.floats(min_value=10, max_value=300)


@pytest.mark.parametrize(("pair", "by_speed", "by_time"), [((31, 29), 30.0, 29.97), ((33, 27), 30.0, 29.70)])
def test_the_two_means_of_a_pair(pair, by_speed, by_time):
    """31 and 29, 33 and 27 m/s: arithmetic."""
    found = two_way(pair)
    assert found.mean_of_speeds == pytest.approx(by_speed)
    assert found.speed_of_mean_time == pytest.approx(by_time, abs=0.005)


@given(st.lists(_SPEED, min_size=2, max_size=12))
def test_means_are_those_of_the_standard_library_and_the_one_by_time_is_never_higher(speeds):
    found = two_way(speeds)
    assert found.mean_of_speeds == pytest.approx(mean(speeds))
    assert found.speed_of_mean_time == pytest.approx(harmonic_mean(speeds))
    assert found.speed_of_mean_time <= found.mean_of_speeds * (1 + 1e-12)


@given(st.floats(min_value=30, max_value=200), st.floats(min_value=-20, max_value=20), st.integers(2, 9))
def test_a_steady_drift_is_found_and_leaves_the_two_way_mean(speed, drift, passes):
    found = two_way([speed + drift * (-1) ** number for number in range(passes)])
    assert found.two_way_mean == pytest.approx(speed)
    assert found.along_course_drift == pytest.approx(drift, abs=1e-9)
    if passes > 2:
        assert found.standard_error == pytest.approx(0, abs=1e-9)


def test_error_of_four_passes_by_hand():
    found = two_way([72, 68, 70, 67])
    scatter = ((stdev([72, 70]) ** 2 + stdev([68, 67]) ** 2) / 2) ** 0.5
    assert found.standard_error == pytest.approx(scatter / 4**0.5)


def test_one_pass_each_way_tells_nothing_of_scatter():
    assert two_way([72, 68]).standard_error is None


@pytest.mark.parametrize("speeds", [[], [70], [70, 0], [70, -3]])
def test_too_few_or_impossible_passes_are_refused(speeds):
    with pytest.raises(ValueError, match="needed|needs"):
        two_way(speeds)


def test_the_error_of_a_two_way_mean_is_that_of_both_ways_together():
    # Ways of three and two passes scatter by 8 and 2 (sums of squares) over 3 to spare: half of √(10/3 (1/3 + 1/2)).
    found = two_way([60, 50, 62, 52, 64])
    assert found.standard_error == pytest.approx(((10 / 3) * (1 / 3 + 1 / 2)) ** 0.5 / 2)
    assert (found.two_way_mean, found.along_course_drift, found.mean_of_speeds) == pytest.approx((56.5, 5.5, 57.6))
    assert two_way([60, 50]).standard_error is None
    for refused in ([60], [60, 0], [60, -1]):
        with pytest.raises(ValueError, match="pass"):
            two_way(refused)
