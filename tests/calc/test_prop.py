"""Pitch speed, slip, tip speed: constants of units, a constructed prop, and what must hold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import prop
from garage.units import convert
from tests.published import holds, named

_RPM = st.floats(min_value=100, max_value=60000)
_PITCH = st.floats(min_value=10, max_value=300)
_INCH = 25.4


@pytest.mark.parametrize(("check", "name"), named("PROP-10", "kn_div", "mph_div"))
def test_pitch_speed_of_an_inch_at_one_turn_a_minute(check, name):
    """NIST SP 811: 1852 m, 25.4 mm, 1609.344 m."""
    per_inch = convert(prop.pitch_speed_kmh(1, _INCH), "speed", "km/h", name[: name.index("_")])
    assert holds(1 / per_inch, check, name)


@pytest.mark.parametrize(("check", "name"), named("PROP-10", "in_per_NM"))
def test_inches_in_a_nautical_mile(check, name):
    assert holds(convert(convert(1, "speed", "kn", "km/h") * 1e6, "length", "mm", "in"), check, name)


@pytest.mark.parametrize(("check", "name"), named("PROP-11", "V_pitch", "slip", "J"))
def test_a_constructed_prop_of_model_size(check, name):
    pitch_speed = prop.pitch_speed_kmh(30000, prop.pitch_mm(40, 1.6))
    computed = {
        "V_pitch": pitch_speed,
        "slip": prop.slip(90, pitch_speed),
        "J": prop.advance_ratio(90, 30000, 40),
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("PROP-15", "V_tip", "V_rel"))
def test_tip_speed_around_and_through_the_water(check, name):
    tip = prop.tip_speed_ms(500 * 60, 40)
    computed = {"V_tip": tip, "V_rel": prop.resultant_speed_ms(tip, 25 * 3.6)}
    assert holds(computed[name], check, name)


@given(_RPM, _PITCH)
def test_no_slip_at_the_pitch_speed(rpm, pitch_mm):
    speed = prop.pitch_speed_kmh(rpm, pitch_mm)
    assert prop.slip(speed, speed) == 0


@given(_RPM, _PITCH, st.floats(min_value=1.001, max_value=2))
def test_slip_is_reported_below_zero_when_the_boat_is_faster_than_the_pitch(rpm, pitch_mm, factor):
    speed = prop.pitch_speed_kmh(rpm, pitch_mm)
    assert prop.slip(speed * factor, speed) < 0


@given(_RPM, _PITCH, st.floats(min_value=20, max_value=100), st.floats(min_value=1, max_value=200))
def test_advance_ratio_is_what_slip_leaves_of_the_pitch_ratio(rpm, pitch_mm, diameter_mm, speed):
    slip = prop.slip(speed, prop.pitch_speed_kmh(rpm, pitch_mm))
    assert prop.advance_ratio(speed, rpm, diameter_mm) == pytest.approx((1 - slip) * pitch_mm / diameter_mm)


def test_a_shaft_that_stands_still_has_no_slip():
    with pytest.raises(ValueError, match="more than zero"):
        prop.slip(50, 0)
