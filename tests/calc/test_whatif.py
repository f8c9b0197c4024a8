"""Another prop or voltage: laws that must hold, and the electrical side on open thrust-stand data."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import whatif
from garage.calc.motor import Motor
from garage.calc.whatif import Change, Guess, MeasuredRun, OwnRun

numpy = pytest.importorskip("numpy")

_RUN = MeasuredRun(Motor(2200, 0.012, 2.5), 14.8, 60, 90, 40, 56)
_STAND = Path(__file__).parent.parent / "data" / "thrust_stand"
_NO_LOAD_A = 0.5
_GROWN = st.floats(min_value=1.01, max_value=1.15)


def _full_throttle(name: str) -> tuple[float, float, float]:
    """Volts, amps and rpm in the last step of a file, which is full throttle."""
    with (_STAND / f"{name}.csv").open(encoding="utf-8-sig", newline="") as file:
        last = list(csv.DictReader(file))[-1]
    return float(last["Voltage (V)"]), float(last["Current (A)"]), float(last["Motor Electrical Speed (RPM)"])


def _stand_motor(letter: str, props: range) -> Motor:
    """Kv and resistance from full throttle at 7 V with every prop: n = Kv V - Kv R I, by least squares."""
    points = [_full_throttle(f"{letter}{number}_7") for number in props]
    sides = numpy.array([[volts, -amps] for volts, amps, _ in points])
    kv, kv_ohm = numpy.linalg.lstsq(sides, numpy.array([rpm for *_, rpm in points]), rcond=None)[0]
    return Motor(float(kv), float(kv_ohm / kv), _NO_LOAD_A)


_CASES = [("a", number) for number in range(1, 9)] + [("b", number) for number in range(1, 5)]


@pytest.mark.parametrize(("letter", "number"), _CASES)
def test_a_step_from_7_to_11_volts_on_the_open_thrust_stand(letter, number):
    """Thrust stand with air propellers (MIT, tests/data/thrust_stand): shaft speed within 4 %, current within 5 %."""
    motor = _stand_motor(letter, range(1, 9) if letter == "a" else range(1, 5))
    volts, amps, _ = _full_throttle(f"{letter}{number}_7")
    new_volts, new_amps, new_rpm = _full_throttle(f"{letter}{number}_11")
    # Size and speed play no part in the electrical side; any will do.
    expected, _ = whatif.outcome(MeasuredRun(motor, volts, amps, 50, 127, 100), Change(voltage_v=new_volts), Guess())
    assert expected.shaft_speed_rpm == pytest.approx(new_rpm, rel=0.04)
    assert expected.current_a == pytest.approx(new_amps, rel=0.05)


def test_the_stated_range_holds_on_the_thrust_stand_for_most():
    """The range of the current was set on these data; that of the shaft speed was not."""
    held = {"rpm": 0, "amps": 0}
    for letter, number in _CASES:
        motor = _stand_motor(letter, range(1, 9) if letter == "a" else range(1, 5))
        volts, amps, _ = _full_throttle(f"{letter}{number}_7")
        new_volts, new_amps, new_rpm = _full_throttle(f"{letter}{number}_11")
        found = whatif.forecast(MeasuredRun(motor, volts, amps, 50, 127, 100), Change(voltage_v=new_volts))
        held["rpm"] += found.low.shaft_speed_rpm <= new_rpm <= found.high.shaft_speed_rpm
        held["amps"] += found.low.current_a <= new_amps <= found.high.current_a
    assert min(held.values()) >= 0.8 * len(_CASES), held


def test_no_change_is_the_measured_run():
    found = whatif.forecast(_RUN, Change())
    for end in (found.low, found.middle, found.high):
        assert end.speed_kmh == pytest.approx(90)
        assert end.current_a == pytest.approx(60)


@given(_GROWN)
def test_a_larger_prop_turns_slower_and_takes_more(factor):
    was, _ = whatif.outcome(_RUN, Change(), Guess())
    now, _ = whatif.outcome(_RUN, Change(diameter_mm=40 * factor, pitch_mm=56 * factor), Guess())
    assert now.shaft_speed_rpm < was.shaft_speed_rpm and now.current_a > was.current_a


@given(_GROWN, st.floats(min_value=0.8, max_value=1.5))
def test_more_pitch_takes_more_and_more_so_by_a_higher_power(factor, power):
    mild, _ = whatif.outcome(_RUN, Change(pitch_mm=56 * factor), Guess(pitch_power=power))
    hard, _ = whatif.outcome(_RUN, Change(pitch_mm=56 * factor), Guess(pitch_power=power + 0.3))
    assert 60 < mild.current_a < hard.current_a and hard.shaft_speed_rpm < mild.shaft_speed_rpm


@given(_GROWN)
def test_more_volts_go_faster(factor):
    now, _ = whatif.outcome(_RUN, Change(voltage_v=14.8 * factor), Guess())
    assert now.speed_kmh > 90 and now.current_a > 60


@given(_GROWN)
def test_slip_is_kept(factor):
    change = Change(pitch_mm=56 * factor)
    now, slip = whatif.outcome(_RUN, change, Guess())
    assert now.speed_kmh == pytest.approx(now.shaft_speed_rpm * 56 * factor * 6e-5 * (1 - slip))


@given(_GROWN)
def test_a_pack_that_sags_gives_less_of_the_gain(factor):
    soft = MeasuredRun(_RUN.motor, 14.8, 60, 90, 40, 56, pack_resistance_ohm=0.01)
    stiff_now, _ = whatif.outcome(_RUN, Change(diameter_mm=40 * factor), Guess())
    soft_now, _ = whatif.outcome(soft, Change(diameter_mm=40 * factor), Guess())
    assert soft_now.shaft_speed_rpm < stiff_now.shaft_speed_rpm


def test_a_mean_current_widens_the_range_and_raises_the_current():
    full = whatif.forecast(_RUN, Change(diameter_mm=42))
    mean = whatif.forecast(
        MeasuredRun(_RUN.motor, 14.8, 60, 90, 40, 56, full_throttle_share=0.6), Change(diameter_mm=42)
    )
    assert mean.middle.current_a > full.middle.current_a
    assert mean.high.current_a - mean.low.current_a > 2 * (full.high.current_a - full.low.current_a)


def test_the_same_inputs_give_the_same_answer():
    assert whatif.forecast(_RUN, Change(pitch_mm=60)) == whatif.forecast(_RUN, Change(pitch_mm=60))


def test_the_range_is_ordered_around_the_middle():
    found = whatif.forecast(_RUN, Change(42, 58.8))
    for name in ("shaft_speed_rpm", "speed_kmh", "current_a", "motor_power_w"):
        low, middle, high = (getattr(one, name) for one in (found.low, found.middle, found.high))
        assert low < middle < high, name


def test_calibration_compares_with_the_persons_own_other_props():
    expected, _ = whatif.outcome(_RUN, Change(42, 58.8), Guess())
    own = whatif.calibration(_RUN, [OwnRun(40, 56, 91.0), OwnRun(42, 58.8, expected.speed_kmh * 1.03)])
    assert own is not None
    assert (own.changes, own.mean_percent) == (1, pytest.approx(3))
    assert whatif.calibration(_RUN, [OwnRun(40, 56, 91.0)]) is None


@pytest.mark.parametrize(("run", "words"), [
    (MeasuredRun(_RUN.motor, 14.8, 2.0, 90, 40, 56), "no-load current"),
    (MeasuredRun(_RUN.motor, 14.8, 1300, 90, 40, 56), "stands still"),
])  # fmt: skip
def test_a_run_that_cannot_be_is_refused(run, words):
    with pytest.raises(ValueError, match=words):
        whatif.outcome(run, Change(), Guess())
