"""The circle through points, against circles whose radius is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.track.circle import radius_through_m


@given(
    st.floats(1, 500), st.floats(0.3, 6.2), st.floats(0, 6.2), st.integers(3, 200), st.floats(-1e4, 1e4)
)  # fmt: skip
def test_points_on_an_arc_have_its_radius(radius, arc, start, count, aside):
    angle = start + np.linspace(0, arc, count)
    found = radius_through_m(aside + radius * np.sin(angle), -aside + radius * np.cos(angle))
    assert found == pytest.approx(radius, rel=1e-3)


@pytest.mark.parametrize("arc", [1.0, 1.5, 3.0, 6.0])
def test_jitter_makes_the_circle_neither_wider_nor_tighter_on_the_whole(arc):
    chance = np.random.default_rng(7)
    angle = np.linspace(0, arc, 60)
    found = [
        radius_through_m(20 * np.sin(angle) + chance.normal(0, 0.1, 60), 20 * np.cos(angle) + chance.normal(0, 0.1, 60))
        for _ in range(300)
    ]
    assert np.mean(found) == pytest.approx(20, rel=0.01)


@pytest.mark.parametrize(
    "points", [[], [(0, 0), (1, 1)], [(2, 2)] * 5, [(at, 2 * at) for at in range(9)], [(np.nan, 1)] * 4]
)
def test_points_that_show_no_circle_have_no_radius(points):
    columns = np.array(points, dtype=float).reshape(-1, 2).T
    assert radius_through_m(columns[0], columns[1]) is None
