"""Packs: load, heat, resistance by temperature, against constructed and published figures."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import pack
from tests.published import CHECKS, holds, named, value

_OHM = st.floats(min_value=0.0005, max_value=0.1)
_AMPS = st.floats(min_value=1, max_value=400)
_SECONDS = st.floats(min_value=1, max_value=1000)
_KG = st.floats(min_value=0.05, max_value=3)


@pytest.mark.parametrize(("check", "name"), named("BATT-04", "ratio"))
def test_resistance_at_10_degrees_by_that_at_25(check, name):
    energies = CHECKS[check]["inputs"]["Ea_J_per_mol"].values()
    assert holds([pack.resistance_factor(10, 25, energy) for energy in energies], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-06", "band"))
def test_the_band_of_specific_heat_is_the_published_one(check, name):
    assert holds(list(pack.SPECIFIC_HEAT_BAND), check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-08", "C_rate", "t_full_min"))
def test_c_rate_and_time_to_empty(check, name):
    load = pack.load(1, 5.0, 0.001, 3.7, 150)
    computed = {"C_rate": load.c_rate_per_h, "t_full_min": load.full_power_time_s / 60}
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-10", "T_closed", "dT_adiabatic"))
def test_warming_with_and_without_loss(check, name):
    loss = {"T_closed": 0.25, "dT_adiabatic": 0.0}[name]
    start = {"T_closed": 20.0, "dT_adiabatic": 0.0}[name]
    assert holds(start + pack.temperature_rise_k(100**2 * 0.004, 240, 0.35, 1000, loss), check, name)


def _stepwise_c(heat_w: float, seconds: float, kg: float, loss: float, start_c: float) -> float:
    """The balance of heat itself, in steps by the midpoint: no closed form."""
    steps, rise = 20_000, 0.0
    for _ in range(steps):
        middle = rise + (heat_w - loss * rise) / (kg * 1000) * seconds / steps / 2
        rise += (heat_w - loss * middle) / (kg * 1000) * seconds / steps
    return start_c + rise


@pytest.mark.parametrize(("check", "name"), named("BATT-10", "P", "T_numeric", "tau"))
def test_heat_the_steps_of_warming_and_its_time_constant(check, name):
    heat = pack.load(1, 5.0, 0.004, 3.7, 100).heat_w
    rise = pack.temperature_rise_k(heat, 240, 0.35, 1000, 0.25)
    computed = {
        "P": heat,
        "T_numeric": _stepwise_c(heat, 240, 0.35, 0.25, 20),
        "tau": -240 / math.log(1 - rise * 0.25 / heat),
    }
    assert holds(computed[name], check, name)
    assert 20 + rise == pytest.approx(computed["T_numeric"], abs=1e-6)


@pytest.mark.parametrize(("check", "name"), named("BATT-11", "E_loss", "dT"))
def test_adiabatic_rise(check, name):
    heat_w = 120**2 * 0.006
    computed = {"E_loss": heat_w * 120, "dT": pack.temperature_rise_k(heat_w, 120, 0.40, 1000)}
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-12", "Wh"))
def test_energy_of_packs_at_nominal_voltage(check, name):
    packs = ((2, 5.0), (3, 5.0), (4, 5.0), (6, 5.0), (6, 4.5))
    assert holds([pack.load(cells, ah, 0.01, 3.7, 1).energy_wh for cells, ah in packs], check, name)


@pytest.mark.parametrize(("check", "name"), named("BATT-17", "R_pack", "V", "P_loss"))
def test_resistance_of_a_pack_and_its_sag(check, name):
    resistance = pack.pack_resistance_ohm(6, 1, 0.0015, 0.002)
    load = pack.load(6, 5.0, resistance, 4.0, 150)
    computed = {"R_pack": resistance * 1000, "V": load.terminal_voltage_v, "P_loss": load.heat_w}
    assert holds(computed[name], check, name)


@given(_AMPS, _OHM, _SECONDS, _KG, st.floats(min_value=0, max_value=2))
def test_current_for_a_rise_is_the_rise_turned_round(amps, ohm, seconds, kg, loss):
    rise = pack.temperature_rise_k(amps**2 * ohm, seconds, kg, 1000, loss)
    assert pack.current_for_rise_a(rise, ohm, seconds, kg, 1000, loss) == pytest.approx(amps, rel=1e-6)


@given(_AMPS, _OHM, _SECONDS, _KG, st.floats(min_value=0.001, max_value=2))
def test_loss_never_makes_it_warmer_and_heat_by_loss_is_the_end(amps, ohm, seconds, kg, loss):
    heat = amps**2 * ohm
    rise = pack.temperature_rise_k(heat, seconds, kg, 1000, loss)
    assert rise <= pack.temperature_rise_k(heat, seconds, kg) * (1 + 1e-9)
    assert rise <= heat / loss * (1 + 1e-9)


@given(_OHM, st.floats(min_value=-5, max_value=50), st.floats(min_value=15000, max_value=30000))
def test_a_colder_pack_has_more_resistance_and_the_way_back_is_the_same(ohm, celsius, energy):
    there = pack.resistance_at(ohm, celsius, 25, energy)
    assert (there < ohm) == (celsius < 25) or there == pytest.approx(ohm)
    assert pack.resistance_at(there, 25, celsius, energy) == pytest.approx(ohm)


def test_full_throttle_takes_more_than_the_mean_and_less_when_the_rest_draws_too():
    mean = pack.mean_current_a(3000, 120)
    assert mean == pytest.approx(90)
    assert pack.full_throttle_current_a(mean, 1.0) == mean
    assert mean < pack.full_throttle_current_a(mean, 0.6, 0.5) < pack.full_throttle_current_a(mean, 0.6) == 150


def test_a_resistance_at_its_own_temperature_is_itself():
    assert pack.resistance_at(3.0, 25) == 3.0
    assert value("BATT-04", "ratio")[0] == pytest.approx(1 / pack.resistance_at(1, 10, 25, 17100), abs=2e-4)
    assert math.isinf(pack.load(1, 5, 0.001, 3.7, 0).full_power_time_s)


def test_cells_beside_each_other_share_the_current_and_leads_are_added():
    assert pack.pack_resistance_ohm(4, 2, 0.006, 0.003) == pytest.approx(0.015)
    assert pack.pack_resistance_ohm(4, 1, 0.006) == pytest.approx(0.024)


def test_a_load_by_hand():
    # 4 cells at 4 V, 5 Ah, 20 mΩ and 100 A: 20 C, 2 V and 200 W lost, empty in 180 s.
    found = pack.load(4, 5.0, 0.02, 4.0, 100.0)
    assert (found.c_rate_per_h, found.sag_v, found.terminal_voltage_v, found.heat_w) == pytest.approx((20, 2, 14, 200))
    assert (found.energy_wh, found.full_power_time_s, found.pack_resistance_ohm) == pytest.approx((80, 180, 0.02))
    assert pack.load(4, 5.0, 0.02, 4.0, 0.0).full_power_time_s == math.inf


def test_what_is_assumed_where_nothing_is_said():
    # 1000 J/(kg K), no loss; 21.6 kJ/mol to 25 °C; the rest of a run draws nothing.
    assert pack.temperature_rise_k(100, 60, 0.5) == pytest.approx(12)
    assert pack.current_for_rise_a(12, 0.01, 60, 0.5) == pytest.approx(100)
    by_hand = 5 / math.exp(21600 / 8.314462618 * (1 / 283.15 - 1 / 298.15))
    assert pack.resistance_at(5, 10) == pytest.approx(by_hand)
    assert pack.full_throttle_current_a(40, 0.5) == 80 and pack.full_throttle_current_a(40, 0.5, 0.5) == pytest.approx(
        40 / 0.75
    )
    assert pack.mean_current_a(2000, 90) == pytest.approx(80)
    # 2000 and 3500 K by the gas constant, of which 2600 K is between.
    assert list(pack.ACTIVATION_BAND_J_PER_MOL) == pytest.approx([16628.925, 29100.619], abs=1e-3)
