"""Resting voltage: the published curves, and the band between them both ways."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.voltage import CURVES, polymer_fit_v, state_of_charge_band, voltage_band
from tests.published import CHECKS, holds, named

_CHARGE = st.floats(min_value=0, max_value=1)


@pytest.mark.parametrize(("check", "name"), named("BATT-01", "Voc"))
def test_the_curve_of_a_polymer_cell(check, name):
    assert holds([polymer_fit_v(charge) for charge in CHECKS[check]["inputs"]["SOC"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-03", "OCV_0..100pct"))
def test_the_curve_of_a_pouch_cell(check, name):
    assert holds([CURVES["pouch"].voltage_v(step / 10) for step in range(11)], check, name)


@pytest.mark.parametrize("name", CURVES)
def test_each_curve_rises_all_the_way(name):
    volts = [CURVES[name].voltage_v(step / 200) for step in range(201)]
    assert volts == sorted(volts) and volts[0] < volts[-1]


@given(_CHARGE, st.sampled_from(sorted(CURVES)))
def test_back_through_one_curve_gives_the_charge_again(charge, name):
    curve = {name: CURVES[name]}
    back = state_of_charge_band(curve[name].voltage_v(charge), curve)
    assert back.low == pytest.approx(charge, abs=1e-6)


@given(_CHARGE)
def test_the_band_holds_every_curve(charge):
    band = voltage_band(charge)
    assert all(band.low <= curve.voltage_v(charge) <= band.high for curve in CURVES.values())


def test_a_curve_is_not_turned_round_above_its_end():
    band = state_of_charge_band(4.15)
    assert any("polymer" in silent and "4.103" in silent for silent in band.silent)
    assert band.low is not None


def test_no_curve_reaches_far_above():
    band = state_of_charge_band(4.35)
    assert (band.low, band.high, len(band.silent)) == (None, None, len(CURVES))


def test_a_charge_beyond_full_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        voltage_band(1.2)
