"""Distances against geographiclib (Karney) and published landmarks; gpxpy's sphere is the error that is avoided."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.track.geodesy import distances_m, plan_m
from tests.published import holds, named

LANDMARKS = {
    "deg_eq": ((0.0, 10.0), (0.0, 11.0)),
    "arcmin45": ((45.0 - 1 / 120, 3.0), (45.0 + 1 / 120, 3.0)),
}


@pytest.mark.parametrize(("check", "name"), named("GPS-05", "arcmin45"))
def test_a_minute_of_latitude_is_as_long_as_published(check, name):
    (lat1, lon1), (lat2, lon2) = LANDMARKS[name]
    assert holds(float(distances_m(np.array([lat1, lat2]), np.array([lon1, lon2]))[0]), check, name)


@given(st.floats(-70, 70), st.floats(-179.9, 179.9), st.floats(0, 360), st.floats(0.1, 1000))
def test_steps_up_to_a_kilometre_agree_with_geographiclib_within_a_tenth_of_a_millimetre(lat, lon, heading, length):
    there = Geodesic.WGS84.Direct(lat, lon, heading, length)
    found = distances_m(np.array([lat, there["lat2"]]), np.array([lon, there["lon2"]]))
    assert float(found[0]) == pytest.approx(length, abs=1e-4)


@pytest.mark.parametrize("lat", [0, 30, 50, 60])
def test_a_true_hundred_metres_is_a_hundred_where_a_sphere_is_off(lat):
    for heading in (0, 90):
        there = Geodesic.WGS84.Direct(lat, 5, heading, 100)
        ours = float(distances_m(np.array([lat, there["lat2"]]), np.array([5, there["lon2"]]))[0])
        assert ours == pytest.approx(100, abs=1e-5)


def test_a_step_over_the_date_line_is_short():
    assert float(distances_m(np.array([10.0, 10.0]), np.array([179.9999, -179.9999]))[0]) < 30


def test_the_plan_keeps_distances_over_a_pond():
    lat, lon = np.array([52.3, 52.304, 52.3]), np.array([5.5, 5.5, 5.507])
    east, north = plan_m(lat, lon)
    for index in (1, 2):
        true = Geodesic.WGS84.Inverse(lat[0], lon[0], lat[index], lon[index])["s12"]
        assert np.hypot(east[index], north[index]) == pytest.approx(true, rel=2e-4)
