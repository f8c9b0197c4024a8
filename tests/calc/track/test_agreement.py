"""Speeds and places of one log are two witnesses: where they deny each other there is no headline."""

from dataclasses import replace

import numpy as np
import pytest

from garage.calc.track.measure import look_at
from garage.calc.track.track import Track
from garage.logs.readers.reading import read_log
from tests.logs.made import Made, places, there_and_back, turn
from tests.paths import DATA

LOGS = DATA / "logs"
RATES = (1, 5, 10, 25)
# Truth of the invented drive that all sample logs are of, to the tolerance that its maker gives.
TOP_KMH, WITHIN_KMH = 79.2, 1.0
UNITS = {"km/h": 3.6, "knots": 3600 / 1852, "mph": 1 / 0.44704}


def slow(rng: np.random.Generator, count: int, step_s: float, sd: float, lasts_s: float) -> np.ndarray:
    """An error that drifts: neighbours alike, forgotten after `lasts_s`."""
    keeps = np.exp(-step_s / lasts_s)
    steps = rng.normal(0, sd * np.sqrt(1 - keeps**2), count)
    steps[0] = rng.normal(0, sd)
    error = np.empty(count)
    error[0] = steps[0]
    for at in range(1, count):
        error[at] = keeps * error[at - 1] + steps[at]
    return error


def seen(made: Made, rate: float, seed: int, *, slow_ms: float = 0.12, jitter_m: float = 0.05) -> Track:
    """A run as a usual receiver sees it: white and slow errors on the speed, slow ones and jitter on the place."""
    rng, count, step = np.random.default_rng(seed), len(made.time_s), 1 / rate
    off = [slow(rng, count, step, 1.0, 60) + rng.normal(0, jitter_m, count) for _ in range(2)]
    speed = np.abs(made.speed + rng.normal(0, 0.07, count) + slow(rng, count, step, slow_ms, 3))
    lat, lon = places(made.east + off[0], made.north + off[1])
    return Track(made.time_s, 1_777_800_000.0, lat, lon, speed)


def drive(rng: np.random.Generator, rate: float) -> Made:
    """Several rounds at a speed, with bends that she takes at up to 3 g, as they come."""
    speed = rng.uniform(8, 28)
    radius = max(5.0, speed**2 / 29) * rng.uniform(1, 2)
    return there_and_back(speed, rate, straight=rng.uniform(80, 250), radius=radius, rounds=rng.uniform(1, 6))


@pytest.mark.parametrize("rate", RATES)
def test_no_false_alarm_on_drives_as_a_usual_receiver_sees_them(rate):
    rng = np.random.default_rng(rate)
    for seed in range(12):
        measures = look_at(seen(drive(rng, rate), rate, seed)).measures
        assert measures.agreement.verdict == "agree", (seed, measures.agreement)
        assert measures.top is not None and not measures.denied


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("unit", UNITS)
def test_speeds_in_another_unit_than_is_said_have_no_headline_and_both_figures(rate, unit):
    rng = np.random.default_rng(7)
    for seed in range(3):
        track = seen(drive(rng, rate), rate, seed)
        true = look_at(track).measures.top.speed_ms
        measures = look_at(replace(track, speed_ms=track.speed_ms * UNITS[unit])).measures
        assert measures.agreement.is_disputed and measures.top is None and measures.two_way is None
        assert measures.agreement.ratio == pytest.approx(UNITS[unit], rel=0.05)
        assert measures.agreement.places_ms == pytest.approx(true, rel=0.05)
        assert any(f"are they in {unit}?" in said for said in measures.said)


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("scale", [0.96, 1.04])
def test_a_receiver_out_by_a_twenty_fifth_all_along_is_denied(rate, scale):
    track = seen(there_and_back(24, rate, rounds=6), rate, 3)
    found = look_at(replace(track, speed_ms=track.speed_ms * scale)).measures.agreement
    assert found.by == "ratio" and found.ratio == pytest.approx(scale, abs=0.015)


@pytest.mark.parametrize("rate", [5, 10, 25])
def test_a_hump_of_15_km_h_in_the_speeds_alone_is_denied_by_the_places(rate):
    made = there_and_back(22, rate, rounds=3)
    track = seen(made, rate, 5)
    middle = made.time_s[np.searchsorted(made.north, 110.0)]
    hump = 15 / 3.6 * np.exp(-(((track.time_s - middle) / 0.8) ** 2))
    measures = look_at(replace(track, speed_ms=track.speed_ms + hump)).measures
    assert measures.agreement.by == "window" and measures.top is None
    assert measures.agreement.receiver_ms - measures.agreement.places_ms > 2


def test_a_single_jumped_fix_denies_no_speed():
    track = seen(there_and_back(22, 10, rounds=3), 10, 5)
    lat = track.lat_deg.copy()
    lat[::97] += 0.0004
    measures = look_at(replace(track, lat_deg=lat)).measures
    assert measures.agreement.verdict == "agree" and measures.top is not None


def test_fixes_repeated_over_rows_deny_no_speed():
    track = seen(there_and_back(22, 10, rounds=4), 10, 5)
    held = np.arange(len(track)) // 10 * 10
    measures = look_at(replace(track, lat_deg=track.lat_deg[held], lon_deg=track.lon_deg[held])).measures
    assert measures.agreement.verdict == "agree" and measures.top is not None


@pytest.mark.parametrize("radius", [10, 20])
def test_a_boat_that_only_turns_is_not_taken_to_contradict_herself(radius):
    found = look_at(seen(turn(20, radius, 10, 6.0, straight=30), 10, 2)).measures
    assert not found.agreement.is_disputed and found.top is not None


def test_a_log_without_places_has_one_witness_and_keeps_its_headline():
    track = seen(there_and_back(22, 10), 10, 1)
    alone = look_at(replace(track, lat_deg=None, lon_deg=None)).measures
    assert alone.agreement.verdict == "one witness" and alone.top.speed_ms == look_at(track).measures.top.speed_ms


@pytest.mark.parametrize(
    "name", ["01_ext_speed_in_kmh", "12_hump_that_positions_deny", "13_receiver_four_percent_high"]
)
def test_sample_logs_that_contradict_themselves_have_no_headline(name):
    (path,) = LOGS.glob(f"{name}.*")
    measures = look_at(read_log(path).track).measures
    assert measures.top is None and measures.two_way is None and measures.best_course is None
    assert measures.agreement.is_disputed and measures.agreement.receiver_ms * 3.6 > TOP_KMH + WITHIN_KMH
    assert measures.agreement.places_ms * 3.6 < TOP_KMH + WITHIN_KMH


@pytest.mark.parametrize("name", ["10_five_hz_whole_seconds", "11_logger_paused_25_min", "14_week_rollover"])
def test_sample_logs_that_hold_together_keep_their_headline(name):
    (path,) = LOGS.glob(f"{name}.*")
    measures = look_at(read_log(path).track).measures
    assert measures.agreement.verdict == "agree" and measures.top.speed_ms * 3.6 == pytest.approx(TOP_KMH, abs=1.0)


def test_the_way_of_denied_speeds_is_taken_from_the_places():
    track = seen(there_and_back(22, 5, rounds=2), 5, 1)
    true = look_at(track).measures
    wrong = look_at(replace(track, speed_ms=track.speed_ms * 3.6)).measures
    assert wrong.distance_from == "position"
    assert abs(wrong.distance_m - true.distance_m) <= wrong.distance_within_m + true.distance_within_m
