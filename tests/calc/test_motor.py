"""The motor of three constants: identities, a constructed load point, energy in and out."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from garage.calc.motor import Motor, best_current_a, best_efficiency, load_point, torque_constant_nm_per_a
from tests.published import CHECKS, holds, named, value

_MOTOR = Motor(2200, 0.012, 2.5)
_KV = st.floats(min_value=100, max_value=6000)
_OHM = st.floats(min_value=0.002, max_value=0.2)
_IDLE_A = st.floats(min_value=0.1, max_value=5)
_VOLTS = st.floats(min_value=6, max_value=60)
_AMPS = st.floats(min_value=5, max_value=400)


@pytest.mark.parametrize(("check", "name"), named("MOTOR-01", "Kt_mNm_per_A", "const"))
def test_torque_constant_is_the_inverse_of_kv(check, name):
    if name == "const":
        assert holds(torque_constant_nm_per_a(1), check, name)
    else:
        speeds = CHECKS[check]["inputs"]["Kv"]
        assert holds([torque_constant_nm_per_a(kv) * 1000 for kv in speeds], check, name)


@pytest.mark.parametrize(("check", "name"), named("MOTOR-02", "rpm", "Q", "Pin", "Pout", "eta"))
def test_a_constructed_load_point(check, name):
    point = load_point(_MOTOR, 14.8, 60)
    computed = {
        "rpm": point.shaft_speed_rpm,
        "Q": point.torque_nm,
        "Pin": point.input_power_w,
        "Pout": point.shaft_power_w,
        "eta": point.efficiency,
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("MOTOR-03", "I_opt", "eta_max"))
def test_best_current_and_efficiency(check, name):
    computed = {"I_opt": best_current_a(_MOTOR, 14.8), "eta_max": best_efficiency(_MOTOR, 14.8)}
    assert holds(computed[name], check, name)


def _point(kv, ohm, idle, volts, amps):
    assume(amps * ohm < 0.9 * volts)
    return load_point(Motor(kv, ohm, idle), volts, amps)


@given(_KV, _OHM, _IDLE_A, _VOLTS, _AMPS)
def test_power_in_is_power_out_and_losses(kv, ohm, idle, volts, amps):
    point = _point(kv, ohm, idle, volts, amps)
    out = point.shaft_power_w + point.copper_loss_w + point.iron_loss_w
    assert out == pytest.approx(point.input_power_w)


@given(_KV, _OHM, _IDLE_A, _VOLTS, _AMPS)
def test_shaft_power_is_torque_by_shaft_speed(kv, ohm, idle, volts, amps):
    point = _point(kv, ohm, idle, volts, amps)
    assert point.torque_nm * point.shaft_speed_rpm / value("MOTOR-01", "const") == pytest.approx(
        point.shaft_power_w, rel=1e-7, abs=1e-7
    )


@given(_KV, _OHM, _IDLE_A, _VOLTS, _AMPS)
def test_no_current_does_better_than_the_best(kv, ohm, idle, volts, amps):
    point = _point(kv, ohm, idle, volts, amps)
    assume(idle * ohm < volts)
    assert point.efficiency <= best_efficiency(Motor(kv, ohm, idle), volts) + 1e-12


@given(_KV, _OHM, _IDLE_A, _VOLTS, _AMPS)
def test_more_current_turns_slower(kv, ohm, idle, volts, amps):
    assume(1.1 * amps * ohm < 0.9 * volts)
    motor = Motor(kv, ohm, idle)
    assert load_point(motor, volts, 1.1 * amps).shaft_speed_rpm < load_point(motor, volts, amps).shaft_speed_rpm


def test_a_stalled_shaft_is_refused():
    with pytest.raises(ValueError, match="stands still"):
        load_point(_MOTOR, 10, 2000)


@pytest.mark.parametrize(("check", "name"), named("PROP-13", "P"))
def test_shaft_power_is_torque_times_turning(check, name):
    """At 20 turns a second; thrust and efficiency of a prop in open water belong to no calculator."""
    motor = Motor(100, 0.01, 1.0)
    current = 1.0 + value(check, "Q") / torque_constant_nm_per_a(100)
    point = load_point(motor, 20 * 60 / 100 + current * 0.01, current)
    assert point.shaft_speed_rpm == pytest.approx(1200)
    assert holds(point.shaft_power_w, check, name)


def test_a_shaft_stands_still_where_the_whole_voltage_is_lost_and_turns_short_of_it():
    held = Motor(1000, 0.1, 2)
    for amps in (100, 101):
        with pytest.raises(ValueError, match="stands still"):
            load_point(held, 10, amps)
    assert load_point(held, 10, 99.9).shaft_speed_rpm == pytest.approx(10)
    with pytest.raises(ValueError, match="no-load current"):
        best_efficiency(Motor(1000, 0.5, 2), 1)
    assert best_efficiency(Motor(1000, 0.5, 2), 4) == pytest.approx(0.25)
