"""Slip, load and resistance from telemetry."""

import numpy as np
import pytest

from garage.calc.track.drive import apparent_slip, load_of, lowest_under_load_v, measured_slip, pack_resistance
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
