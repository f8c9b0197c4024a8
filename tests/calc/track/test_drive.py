"""Slip, load and resistance from telemetry."""

import numpy as np
import pytest

from garage.calc.track.drive import (
    apparent_slip,
    load_of,
    loaded_shaft_rpm,
    lowest_under_load_v,
    mean_between,
    measured_slip,
    pack_resistance,
)
from garage.calc.track.track import Track
from garage.logs.readers.reading import read_log
from tests.paths import DATA


def test_measured_slip_is_one_less_speed_over_pitch_speed():
    # 25,160 rpm on 56 mm is 84.5 km/h; 70 km/h is 17 % less.
    found = measured_slip(70.0, 25160, 56)
    assert found is not None and found.percent == pytest.approx(17.2, abs=0.1) and found.low == found.high


def test_apparent_slip_has_a_range_which_is_wider_for_a_stated_kv():
    stated = apparent_slip(70, 2000, 14.8, 56, kv_measured=False)
    measured = apparent_slip(70, 2000, 14.8, 56, kv_measured=True)
    assert stated is not None and measured is not None
    assert stated.low < measured.low < measured.percent < measured.high < stated.high
    assert measured.rpm == pytest.approx(2000 * 14.8 * 0.86)


def test_negative_slip_is_reported_and_not_cut_off():
    found = measured_slip(90, 20000, 60)
    assert found is not None and found.percent < 0


def test_energy_is_power_over_time_and_bridges_no_gap():
    time = np.concatenate((np.arange(0, 10.1, 0.1), np.arange(100, 110.1, 0.1)))
    track = Track(time, None, channels={"voltage_v": np.full(len(time), 10.0), "current_a": np.full(len(time), 36.0)})
    load = load_of(track)
    assert load.energy_wh == pytest.approx(360 * 20 / 3600, rel=1e-6)
    assert load.charge_mah == pytest.approx(36 * 20 / 3.6, rel=1e-6) and load.mean_w == pytest.approx(360)


def test_a_pack_that_sags_has_the_resistance_of_its_slope():
    amps = np.tile(np.linspace(2, 80, 60), 3)
    track = Track(np.arange(len(amps)) / 10, None, channels={"current_a": amps, "voltage_v": 12.3 - 0.012 * amps})
    assert pack_resistance(track).milliohm == pytest.approx(12.0)


@pytest.mark.parametrize("channel", ["voltage_v", "current_a"])
def test_one_of_voltage_and_current_alone_tells_no_resistance(channel):
    track = Track(np.arange(60) / 10, None, channels={channel: np.linspace(10, 70, 60)})
    found = pack_resistance(track)
    assert found.milliohm is None and "side by side" in found.why_not


@pytest.mark.parametrize("name", ["a1_11.csv", "a4_11.csv"])
def test_a_supply_at_its_limit_is_not_taken_for_a_resistance(name):
    found = pack_resistance(read_log(DATA / "thrust_stand" / name).track)
    assert found.milliohm is None and "supply" in found.why_not


def test_a_supply_within_its_limit_gives_a_slope():
    found = pack_resistance(read_log(DATA / "thrust_stand" / "b2_7.csv").track)
    assert found.milliohm == pytest.approx(32, abs=3)


def test_a_lone_dropout_is_not_the_lowest_voltage_and_a_sag_is():
    volts = np.full(60, 15.2)
    volts[20:26] = 13.9
    volts[[5, 40]] = 0.0, np.nan
    track = Track(np.arange(60) / 10, None, channels={"voltage_v": volts})
    assert lowest_under_load_v(track) == pytest.approx(13.9) and load_of(track).lowest_v == 0.0


def test_without_three_volts_there_is_no_lowest_voltage():
    assert lowest_under_load_v(Track(np.arange(5.0), None, channels={})) is None
    few = np.array([11.1, np.nan, np.nan, 11.0, np.nan])
    assert lowest_under_load_v(Track(np.arange(5.0), None, channels={"voltage_v": few})) is None


def test_a_loaded_motor_turns_at_80_to_92_percent_of_kv_times_volts_and_a_stated_kv_is_a_tenth_off():
    assert loaded_shaft_rpm(2000, 10, True) == pytest.approx((16000, 17200, 18400))
    assert loaded_shaft_rpm(2000, 10, False) == pytest.approx((14400, 17200, 20240))


@pytest.mark.parametrize("measured", [True, False])
def test_apparent_slip_is_one_less_speed_by_pitch_speed_at_each_of_them(measured):
    # 50 mm at 17200 rpm are 51.6 km/h.
    found = apparent_slip(40.0, 2000, 10, 50, measured)
    slowest, middle, fastest = (rpm * 0.05 * 60 / 1000 for rpm in loaded_shaft_rpm(2000, 10, measured))
    told = [100 * (1 - 40 / speed) for speed in (middle, slowest, fastest)]
    assert [found.percent, found.low, found.high] == pytest.approx(told)
    assert (found.speed_kmh, found.rpm) == (40.0, pytest.approx(17200))
    exact = measured_slip(40.0, 17200, 50)
    assert exact.percent == exact.low == exact.high == pytest.approx(told[0]) and exact.rpm == 17200
    for none in ((40.0, 0, 10, 50), (40.0, 2000, 0, 50), (40.0, 2000, 10, 0)):
        assert apparent_slip(*none, measured) is None
    assert measured_slip(40.0, 0, 50) is None and measured_slip(40.0, 17200, 0) is None
    assert measured_slip(40.0, 1, 1) is not None and apparent_slip(40.0, 1, 1, 1, measured) is not None


def test_a_mean_takes_both_ends_and_nothing_beyond_and_no_gaps():
    track = Track(np.arange(6.0), None, channels={"rpm": np.array([9.0, 1.0, 2.0, np.nan, 6.0, 9.0])})
    assert mean_between(track, "rpm", 1.0, 4.0) == pytest.approx(3.0)
    assert mean_between(track, "rpm", 3.0, 3.0) is None and mean_between(track, "rpm", 7.0, 9.0) is None
    assert mean_between(track, "volts", 1.0, 4.0) is None


def test_sums_go_by_trapezes_over_gaps_of_at_most_two_seconds():
    time = np.array([0.0, 1.0, 3.0, 5.1, 6.1])
    channels = {"current_a": np.array([0.0, 10.0, 20.0, 30.0, np.nan]), "voltage_v": np.full(5, 10.0)}
    load = load_of(Track(time, None, channels=channels | {"shaft_rpm": np.array([1.0, 5.0, 3.0, 2.0, 4.0])}))
    # 5 A s, then 30; the gap of 2.1 s is not bridged.
    assert load.charge_mah == pytest.approx(35 / 3.6) and load.energy_wh == pytest.approx(350 / 3600)
    assert (load.mean_a, load.mean_w) == pytest.approx((35 / 3, 350 / 3))
    assert (load.peak_a, load.peak_w, load.lowest_v, load.top_rpm) == (30.0, 300.0, 10.0, 5.0)
    bare = load_of(Track(time, None, channels={}))
    assert set(vars(bare).values()) == {None}
    lone = load_of(Track(np.array([0.0]), None, channels={"current_a": np.array([3.0])}))
    assert (lone.charge_mah, lone.mean_a, lone.peak_a, lone.mean_w) == (None, None, 3.0, None)


def _resistance(amps, volts):
    channels = {"current_a": np.array(amps, float), "voltage_v": np.array(volts, float)}
    return pack_resistance(Track(np.arange(len(amps), dtype=float), None, channels=channels))


def test_a_resistance_asks_for_four_samples_over_five_amperes_three_of_them_low():
    line = [0, 1.0, 2.0, 5.0]
    assert _resistance(line, [12 - 0.01 * amp for amp in line]).milliohm == pytest.approx(10)
    assert _resistance(line[:3] + [4.9], [12.0] * 4).why_not == "the current hardly varies"
    assert _resistance([0, 2, 5], [12, 11.9, 11.8]).why_not == "the current hardly varies"
    # At most 70 % of the most counts as low.
    assert _resistance([0, 7.0, 7.1, 10], [12, 11.93, 11.929, 11.9]).why_not == "the current hardly varies"
    assert _resistance([0, 7.0, 7.0, 10], [12, 11.93, 11.93, 11.9]).milliohm == pytest.approx(10)
    assert _resistance([3, 3, 3, 10], [12, 12, 12, 11.9]).why_not == "the current hardly varies"
    assert _resistance(line, [12 + 0.01 * amp for amp in line]).why_not == "the voltage does not fall with the current"


@pytest.mark.parametrize(("fallen_v", "is_told"), [(0.199, True), (0.201, False)])
def test_a_voltage_that_falls_to_more_than_twice_its_line_is_a_limiter(fallen_v, is_told):
    amps = [0, 2, 4, 6, 10]
    found = _resistance(amps, [12 - 0.01 * amp for amp in amps[:-1]] + [12 - fallen_v])
    assert (found.milliohm is not None) == is_told
