"""Corners whose radius and lateral acceleration are known, between straights and all the way round."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.calc.track.measure import look_at
from tests.logs.made import circle, turn

G = 9.80665


def _corner(made, **noise):
    found = look_at(made.track(**noise)).measures.corners
    assert len(found) == 1
    return found[0]


@settings(max_examples=150)
@given(
    st.floats(8, 35),
    st.floats(4, 60),
    st.sampled_from([5, 10, 25]),
    st.floats(1.0, 3.6),
    st.floats(0, 1),
    st.booleans(),
)
def test_a_turn_between_straights_has_its_radius_whatever_its_size(speed, radius, rate, angle, phase, doppler):
    if angle * radius / speed < 5 / rate or angle * speed / radius < 0.5 or not 1 < speed**2 / radius < 5 * G:
        return  # too few samples in it, or no corner of a boat
    corner = _corner(turn(speed, radius, rate, angle, phase=phase), doppler=doppler)
    assert corner.radius_m == pytest.approx(radius, rel=0.03)
    assert corner.lateral_g == pytest.approx(speed**2 / radius / G, rel=0.04)


@pytest.mark.parametrize("rate", [5, 10, 25])
@pytest.mark.parametrize(("speed", "radius"), [(25, 15), (25, 30), (20, 50), (30, 20)])
@pytest.mark.parametrize("doppler", [True, False])
def test_half_turns_with_jitter_are_neither_wider_nor_tighter_on_the_whole(rate, speed, radius, doppler):
    found = [
        _corner(
            turn(speed, radius, rate, np.pi, phase=seed / 20), doppler=doppler, place_sd=0.3, speed_sd=0.1, seed=seed
        )
        for seed in range(20)
    ]
    radii = np.array([one.radius_m for one in found])
    assert radii.mean() == pytest.approx(radius, rel=0.02)
    assert np.abs(radii / radius - 1).max() < 0.10
    forces = np.array([one.lateral_g for one in found])
    assert forces.mean() == pytest.approx(speed**2 / radius / G, rel=0.03)


@pytest.mark.parametrize("rate", [1, 5, 10, 25])
@pytest.mark.parametrize("radius", [20, 35, 60])
@pytest.mark.parametrize("speed", [12, 18])
def test_circling_with_jitter_has_its_radius(rate, radius, speed):
    corners = look_at(circle(speed, radius, rate).track(place_sd=0.3, speed_sd=0.1)).measures.corners
    assert corners and corners[0].radius_m == pytest.approx(radius, rel=0.10)


def test_circling_in_a_current_is_no_wider_for_the_way_she_drifts():
    made = circle(20, 20, 10)
    made.north = made.north + 0.5 * made.time_s
    assert _corner(made).radius_m == pytest.approx(20, rel=0.06)


@pytest.mark.parametrize("rate", [1, 5, 10, 25])
@pytest.mark.parametrize(("speed", "radius"), [(25, 15), (12, 8), (25, 30), (20, 50), (30, 20)])
@pytest.mark.parametrize("angle", [np.pi / 2, np.pi])
def test_a_corner_that_looks_wider_for_want_of_samples_is_said_to_be_rough(rate, speed, radius, angle):
    for phase in np.arange(0, 1, 0.1):
        corner = _corner(turn(speed, radius, rate, angle, phase=phase))
        assert corner.is_rough or corner.radius_m == pytest.approx(radius, rel=0.1)
        assert not corner.is_rough or rate == 1
