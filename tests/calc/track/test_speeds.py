"""Speeds of invented runs with a known truth, at the rates that receivers have, with and without noise."""

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.track.measure import look_at
from garage.calc.track.track import Track
from garage.logs.track_json import track_json
from tests.logs.made import START, circle, straight_run, there_and_back

RATES = (1, 5, 10, 25)
G = 9.80665


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("doppler", [True, False])
def test_a_steady_speed_is_found_exactly_without_noise(rate, doppler):
    measures = look_at(there_and_back(25, rate).track(doppler=doppler)).measures
    for best in (measures.peak, measures.best_1s, measures.top, measures.best_course):
        assert best is not None and best.speed_ms == pytest.approx(25, rel=1e-4)


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(("doppler", "place_sd"), [(True, 0.3), (False, 0.05), (False, 0.3)])
@pytest.mark.parametrize("seed", range(5))
def test_best_means_with_noise_hold_within_their_stated_accuracy(rate, doppler, place_sd, seed):
    made = there_and_back(25, rate, rounds=1)
    measures = look_at(made.track(doppler=doppler, place_sd=place_sd, speed_sd=0.1, seed=seed)).measures
    assert measures.rejected_samples == 0
    for best in (measures.top, measures.best_course):
        assert best is not None and abs(best.speed_ms - 25) <= best.accuracy_ms + 0.05


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("doppler", [True, False])
def test_a_two_way_average_takes_out_a_steady_current(rate, doppler):
    both = look_at(there_and_back(25, rate, current=1.5).track(doppler=doppler)).measures.two_way
    assert both is not None and both.speed_ms == pytest.approx(25, abs=0.05)
    assert both.by_times_ms == pytest.approx(2 / (1 / 26.5 + 1 / 23.5), abs=0.05)
    assert both.by_times_ms < both.speed_ms


def test_passes_too_far_apart_in_time_make_no_two_way_average():
    track = there_and_back(25, 10).track()
    assert look_at(track, limit_s=5).measures.two_way is None
    assert look_at(track, limit_s=60).measures.two_way is not None


def test_one_pass_alone_makes_no_two_way_average_and_says_so():
    measures = look_at(straight_run(np.full(200, 20.0), 10).track()).measures
    assert measures.two_way is None and len(measures.passes) == 1
    assert any("opposite" in said for said in measures.said)


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("doppler", [True, False])
def test_a_circle_is_a_corner_of_its_own_radius_and_v_squared_over_r(rate, doppler):
    corner = look_at(circle(20, 20, rate).track(doppler=doppler)).measures.corners[0]
    assert corner.radius_m == pytest.approx(20, rel=0.02)
    assert corner.lateral_g == pytest.approx(20**2 / 20 / G, rel=0.03)
    assert corner.entry_ms == pytest.approx(20, rel=0.02) and corner.turned_deg > 45


@pytest.mark.parametrize("rate", [5, 10, 25])
def test_turns_between_straights_are_corners_and_straights_are_passes(rate):
    measures = look_at(there_and_back(25, rate).track(place_sd=0.3, speed_sd=0.1)).measures
    assert len(measures.passes) == 4 and 3 <= len(measures.corners) <= 4
    assert measures.corners[0].radius_m == pytest.approx(15, rel=0.2)
    assert [round(one.heading_deg or 0, -1) % 360 for one in measures.passes] == [0, 180, 0, 180]
    assert all(corner.turned_deg > 0 for corner in measures.corners)


def test_speed_kept_in_a_corner_is_lowest_over_entry():
    made = there_and_back(25, 10)
    made.speed = np.where(np.abs(made.north - 110) > 110, 15.0, 25.0)
    corner = look_at(made.track()).measures.corners[0]
    assert corner.lowest_ms == pytest.approx(15, rel=0.02)
    assert corner.kept_percent == pytest.approx(100 * corner.lowest_ms / corner.entry_ms)


def test_samples_six_seconds_apart_give_no_mean_and_say_why():
    measures = look_at(straight_run(np.full(30, 15.0), 1 / 6).track()).measures
    assert (measures.top, measures.best_1s, measures.best_course, measures.two_way) == (None, None, None, None)
    assert measures.peak is not None and measures.peak.speed_ms == pytest.approx(15)
    assert "more than 2 s" in measures.said[0]


def test_a_mean_never_reaches_over_a_gap():
    time = np.concatenate((np.arange(0, 1.5, 0.1), np.arange(60, 61.5, 0.1)))
    track = Track(time, START, None, None, np.full(len(time), 20.0))
    measures = look_at(track).measures
    assert measures.best_1s is not None and measures.top is None
    assert any("headline" in said for said in measures.said)


def test_a_mean_over_two_seconds_is_the_mean_of_that_many_samples():
    speed = np.random.default_rng(3).uniform(10, 11, 200)
    expected = max(speed[at : at + 20].mean() for at in range(181))
    track = Track(np.arange(200) / 10, START, None, None, speed)
    top = look_at(track).measures.top
    assert top is not None and top.speed_ms == pytest.approx(expected, rel=1e-12)


def test_positions_and_the_receivers_own_speed_are_never_mixed():
    made = there_and_back(25, 10)
    own, places = look_at(made.track()).measures, look_at(made.track(doppler=False)).measures
    assert (own.source, places.source) == ("doppler", "position")
    assert any("worked out from positions" in said for said in places.said)


def test_a_speed_column_of_zeros_beside_a_moving_track_is_not_taken_for_speed():
    track = there_and_back(25, 10).track()
    still = Track(track.time_s, START, track.lat_deg, track.lon_deg, np.zeros(len(track)))
    assert look_at(still).measures.source == "position"


def test_speeds_in_the_wrong_unit_are_remarked_on():
    made = there_and_back(20, 10)
    made.speed = made.speed * 3.6
    assert any("km/h?" in said for said in look_at(made.track()).measures.said)


def test_time_planing_counts_what_is_above_fifteen_kilometres_an_hour():
    speed = np.concatenate((np.full(100, 2.0), np.linspace(2, 20, 30), np.full(200, 20.0)))
    planing = look_at(straight_run(speed, 10).track()).measures.planing_s
    assert planing == pytest.approx(20 + 3 * (20 - 15 / 3.6) / 18, abs=0.3)


@given(st.lists(st.floats(allow_nan=True, allow_infinity=True, width=32), min_size=0, max_size=40), st.booleans())
def test_any_numbers_at_all_are_measured_without_failing(values, doppler):
    column = np.array(values, dtype=float)
    track = Track(np.cumsum(np.abs(column)), START, column, column[::-1].copy(), column if doppler else None)
    with np.errstate(all="ignore"):
        measures = look_at(track).measures
    assert measures.samples == len(values)
    json.dumps(track_json(measures), allow_nan=False)
    for best in (measures.peak, measures.top, measures.best_course):
        assert best is None or 0 <= best.speed_ms <= 400 / 3.6 + 1


@given(st.lists(st.integers(0, 399), max_size=60), st.booleans())
def test_places_lost_here_and_there_leave_measures_that_are_numbers(lost, doppler):
    track = there_and_back(25, 5, rounds=1).track(doppler=doppler)
    holes = np.array(lost, dtype=int)
    holes = holes[holes < len(track)]
    lat, lon = track.lat_deg.copy(), track.lon_deg.copy()
    lat[holes], lon[holes[::2]] = np.nan, np.nan
    measures = look_at(Track(track.time_s, START, lat, lon, track.speed_ms)).measures
    json.dumps(track_json(measures), allow_nan=False)
    assert measures.peak is None or measures.peak.speed_ms < 26


@pytest.mark.parametrize("rate", [1, 25])
@pytest.mark.parametrize("count", [2, 3, 5, 8])
def test_a_track_of_very_few_samples_is_measured_at_either_end(rate, count):
    measures = look_at(straight_run(np.full(count, 30.0), rate).track()).measures
    assert measures.peak is not None and measures.peak.speed_ms == pytest.approx(30)


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(("doppler", "place_sd"), [(True, 0.3), (False, 0.05), (False, 0.3)])
@pytest.mark.parametrize("seed", range(3))
def test_distance_and_two_way_average_with_noise_hold_within_their_stated_accuracy(rate, doppler, place_sd, seed):
    made = there_and_back(25, rate, current=1.0)
    measures = look_at(made.track(doppler=doppler, place_sd=place_sd, speed_sd=0.1, seed=seed)).measures
    way = float((made.speed[1:] + made.speed[:-1]).sum()) / 2 / rate
    # A way of positions once a second cuts the bends, by what is stated for corners.
    cut = 0.0 if doppler or rate > 1 else 0.03 * way
    assert abs(measures.distance_m - way) <= measures.distance_within_m + cut
    both = measures.two_way
    assert both is not None and abs(both.speed_ms - 25) <= both.accuracy_ms + 0.05


@pytest.mark.parametrize("rate", RATES)
def test_time_planing_holds_within_its_stated_accuracy(rate):
    speed = np.interp(np.arange(0, 60, 1 / rate), [0, 20, 25, 40, 45, 60], [2, 2, 20, 20, 2, 2])
    measures = look_at(straight_run(speed, rate).track()).measures
    true = 15 + 2 * 5 * (20 - 15 / 3.6) / 18
    assert abs(measures.planing_s - true) <= measures.planing_within_s
    assert measures.planing_within_s <= 2 / rate + 1e-9
