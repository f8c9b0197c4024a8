"""Resting voltage: the published curves, and the band between them both ways."""

import numpy as np
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


# Both tables typed once more, from where the module says they are from: percent and volts.
TABLES = {
    "general": {0: 3.5, 30: 3.8, 55: 3.9, 75: 4.0, 87: 4.1, 100: 4.2},
    "hobby": {
        0: 3.27, 5: 3.61, 10: 3.69, 20: 3.73, 30: 3.77, 40: 3.80, 50: 3.84, 60: 3.87, 70: 3.95, 80: 4.02, 90: 4.11,
        100: 4.20,
    },
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
@given(charge=_CHARGE)
def test_a_table_is_met_at_its_points_and_straight_between_them(name, charge):
    points = TABLES[name]
    between = np.interp(100 * charge, list(points), list(points.values()))
    assert CURVES[name].voltage_v(charge) == pytest.approx(between, abs=1e-12)


@given(st.floats(min_value=3.3, max_value=4.3))
def test_the_band_of_charge_is_that_of_the_curves_which_reach_there(volts):
    reach = [one for one in CURVES.values() if one.voltage_v(0) <= volts <= one.voltage_v(1)]
    charges = np.linspace(0, 1, 20001)
    known = [np.interp(volts, [one.voltage_v(s) for s in charges[::200]], charges[::200]) for one in reach]
    band = state_of_charge_band(volts)
    assert len(band.silent) == len(CURVES) - len(reach)
    if reach:
        assert (band.low, band.high) == (pytest.approx(min(known), abs=3e-3), pytest.approx(max(known), abs=3e-3))
