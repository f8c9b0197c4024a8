"""What a pack does in a run: published and constructed figures, and what must hold."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import pack_use
from garage.calc.ageing.temperature import USUAL_CONSTANT_K
from garage.calc.pack_use import POLYMER_V, POUCH_V, along
from tests.published import CHECKS, holds, named


@pytest.mark.parametrize(("check", "name"), named("BATT-08", "C_rate"))
def test_c_rate(check, name):
    assert holds(pack_use.c_rate(150, 5000), check, name)
    assert pack_use.current_of_c(30, 5000) == pytest.approx(150)


@pytest.mark.parametrize(("check", "name"), named("BATT-09", "EFC"))
def test_equivalent_cycles(check, name):
    assert holds(pack_use.equivalent_cycles([4000, 3500, 2500], 5000), check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-17", "V", "P_loss"))
def test_sag_and_loss(check, name):
    assert holds({"V": 24.0 - pack_use.sag_v(150, 11), "P_loss": pack_use.heat_w(150, 11)}[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-01", "Voc"))
def test_the_polymer_curve(check, name):
    assert holds([along(POLYMER_V, share * 100) for share in CHECKS[check]["inputs"]["SOC"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-03", "OCV_0..100pct"))
def test_the_pouch_curve(check, name):
    assert holds([along(POUCH_V, share) for share in range(0, 101, 10)], check, name)


def test_a_full_cell_lies_above_one_curve_and_is_full_by_all_of_them():
    assert along(POLYMER_V, 100) < 4.11
    assert pack_use.charge_band_percent(4.2) == (100, 100)


@given(st.floats(0, 100))
def test_the_band_of_charge_holds_every_charge_that_a_curve_gives_its_volts(share):
    for volts in (along(POLYMER_V, share), along(POUCH_V, share)):
        low, high = pack_use.charge_band_percent(volts)
        assert low - 1e-6 <= share <= high + 1e-6
        assert 0 <= low <= high <= 100


@given(st.floats(2.5, 4.5), st.floats(0, 1))
def test_more_volts_are_never_less_charge(volts, more):
    before, after = pack_use.charge_band_percent(volts), pack_use.charge_band_percent(volts + more)
    assert after[0] >= before[0] - 1e-9 and after[1] >= before[1] - 1e-9


@given(st.floats(100, 20000), st.integers(1, 14))
def test_energy_lies_within_its_range_and_near_nominal(charge, cells):
    found = pack_use.energy_wh(charge, cells)
    assert found.low < found.value < found.high
    assert found.low < pack_use.NOMINAL_V_PER_CELL * cells * charge / 1000 < found.high


@given(st.floats(-5, 30), st.floats(1, 40), st.floats(30, 40))
def test_a_hotter_day_ends_hotter_but_by_no_more_than_the_same_rise(start, rise, other):
    found = pack_use.after_on_another_day_c(start, start + rise, other, USUAL_CONSTANT_K)
    assert other < found.low <= found.value <= found.high <= other + rise + 1e-9


def test_the_heat_of_a_rise_is_that_of_the_published_band_of_specific_heat():
    """400 g by 20 K at 800 to 1100 J/(kg K): 6.4 to 8.8 kJ."""
    found = pack_use.heat_from_rise_j(400, 20)
    assert (found.low, found.value, found.high) == pytest.approx((6400, 8000, 8800))


def test_every_formula_once_by_hand():
    # 80 A through 24 mΩ.
    assert (pack_use.sag_v(80, 24), pack_use.heat_w(80, 24)) == (pytest.approx(1.92), pytest.approx(153.6))
    assert (pack_use.c_rate(80, 4000), pack_use.current_of_c(20, 4000)) == (20, 80)
    assert pack_use.equivalent_cycles([1000, 3000], 2000) == 2
    energy = pack_use.energy_wh(2000, 3)
    # 6 Ah of cells at 3.4, 3.7 and 3.9 V; the charger put back up to 3 % too much.
    assert (energy.low, energy.value, energy.high) == pytest.approx((6 * 3.4 * 0.97, 6 * 3.7 * 0.985, 6 * 3.9))
    heat = pack_use.heat_from_rise_j(400, 10)
    assert (heat.low, heat.value, heat.high) == pytest.approx((3200, 4000, 4400))
    # The mean of 20 and 40 °C is 303.15 K, and 10 K more another day.
    other = pack_use.after_on_another_day_c(20, 40, 30, 2600)
    least = 30 + 20 * math.exp(2600 * (1 / 313.15 - 1 / 303.15))
    assert (other.low, other.value, other.high) == pytest.approx((least, (least + 50) / 2, 50))


@pytest.mark.parametrize("volts", [2.0, 3.0, 3.3, 3.5, 3.7, 3.8, 3.87, 3.95, 4.0, 4.12, 4.1841, 4.5])
def test_the_charge_by_rested_volts_is_the_band_of_the_three_published_curves(volts):
    general = [(0, 3.5), (30, 3.8), (55, 3.9), (75, 4.0), (87, 4.1), (100, 4.2)]
    shares = [
        float(np.interp(volts, [volt for _, volt in curve], [share for share, _ in curve]))
        for curve in (POLYMER_V, POUCH_V, general)
    ]
    assert pack_use.charge_band_percent(volts) == pytest.approx((min(shares), max(shares)))
