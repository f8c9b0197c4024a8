"""Samples that cannot be right are marked, and nothing else is."""

import numpy as np
import pytest

from garage.calc.track.cleaning import BACKWARDS, JUMP, POOR_FIX, TOO_SUDDEN, clean
from garage.calc.track.measure import look_at
from garage.calc.track.track import Track
from tests.logs.made import START, straight_run, there_and_back

G = 9.80665


def _fast_start(rate):
    """To 100 km/h at 1.4 g, as a fast boat does, and on."""
    return straight_run(np.clip(np.arange(0, 20, 1 / rate) * 1.4 * G, 0, 100 / 3.6), rate)


@pytest.mark.parametrize("rate", [1, 5, 10, 25])
@pytest.mark.parametrize("doppler", [True, False])
def test_the_real_acceleration_of_a_fast_boat_is_kept(rate, doppler):
    measures = look_at(_fast_start(rate).track(doppler=doppler)).measures
    assert measures.rejected_samples == 0
    assert measures.peak is not None and measures.peak.speed_ms == pytest.approx(100 / 3.6, rel=0.01)


@pytest.mark.parametrize("rate", [1, 5, 10, 25])
def test_a_spike_of_forty_g_is_rejected_and_never_counts(rate):
    made = _fast_start(rate)
    at = 12 * rate
    made.speed = made.speed.copy()
    made.speed[at] += 40 * G / rate
    looked = look_at(made.track())
    assert not looked.cleaned.kept[at] and looked.measures.rejected_samples == 1
    assert looked.measures.peak is not None and looked.measures.peak.speed_ms == pytest.approx(100 / 3.6)


@pytest.mark.parametrize("rate", [1, 5, 10, 25])
def test_a_place_thrown_aside_by_forty_g_is_rejected(rate):
    made = _fast_start(rate)
    at = 12 * rate
    made.north = made.north.copy()
    made.north[at] += 40 * G / rate**2
    looked = look_at(made.track(doppler=False))
    assert looked.cleaned.reasons[at] == JUMP and looked.measures.rejected_samples == 1
    assert looked.measures.top is not None and looked.measures.top.speed_ms == pytest.approx(100 / 3.6, rel=0.01)


def test_a_burst_of_wrong_speeds_goes_as_a_whole():
    made = _fast_start(10)
    made.speed = made.speed.copy()
    made.speed[100:103] = [70, 90, 75]
    assert np.flatnonzero(~clean(made.track()).kept).tolist() == [100, 101, 102]


def test_a_wrong_speed_at_the_very_beginning_goes():
    made = straight_run(np.full(100, 20.0), 10)
    made.speed = made.speed.copy()
    made.speed[0] = 95.0
    assert clean(made.track()).reasons[:2].tolist() == [TOO_SUDDEN, 0]


def test_a_boat_that_stops_dead_keeps_her_speed_before():
    speed = np.concatenate((np.full(100, 30.0), np.full(100, 0.0)))
    looked = look_at(straight_run(speed, 10).track())
    assert looked.cleaned.kept[:100].all()


def test_a_sample_brought_back_counts_again():
    made = straight_run(np.full(100, 20.0), 10)
    made.speed = made.speed.copy()
    made.speed[50] = 60.0
    assert look_at(made.track()).measures.peak.speed_ms == pytest.approx(20)
    assert look_at(made.track(), restored=[50]).measures.peak.speed_ms == pytest.approx(60)


def test_repeated_times_and_times_that_run_backwards_do_not_count():
    time = np.array([0, 1, 1, 2, 3, 1.5, 4, 5, 6.0])
    reasons = clean(Track(time, START, None, None, np.full(9, 10.0))).reasons
    assert np.flatnonzero(reasons == BACKWARDS).tolist() == [2, 5]


def test_one_time_far_ahead_costs_one_sample_and_not_all_that_follow():
    time = np.arange(50.0)
    time[10] = 5000.0
    assert np.flatnonzero(~clean(Track(time, START, None, None, np.full(50, 10.0))).kept).tolist() == [10]


def test_what_the_receiver_itself_doubts_does_not_count():
    track = there_and_back(20, 5).track()
    doubted = np.zeros(len(track), dtype=bool)
    doubted[30:40] = True
    told = Track(track.time_s, START, track.lat_deg, track.lon_deg, track.speed_ms, doubted)
    cleaned = clean(told)
    assert (cleaned.reasons[30:40] == POOR_FIX).all() and cleaned.rejected() == {"poor fix": 10}
