"""What is told of a log beside its figures: what could not be had, and how far its passes reach."""

from dataclasses import replace

import numpy as np
import pytest

from garage.calc.track.measure import look_at
from garage.calc.track.track import Track
from tests.logs.made import START, straight_run, there_and_back


def _speeds(speed, rate: float = 10) -> Track:
    return Track(np.arange(len(speed)) / rate, START, speed_ms=np.array(speed, dtype=float))


def test_one_sample_is_nothing_to_measure():
    nothing = look_at(_speeds([20.0])).measures
    said = "There are no two samples with a time and a speed or a place, so nothing can be measured."
    assert nothing.said == [said] and nothing.course_m == 100.58
    counts = (nothing.samples, nothing.rate_hz, nothing.duration_s, nothing.distance_m, nothing.planing_s)
    assert counts == (1, 0, 0, 0, 0)
    assert (nothing.peak, nothing.top, nothing.two_way, nothing.passes) == (None, None, None, [])
    two = look_at(_speeds([20.0, 20.0])).measures
    assert (two.samples, two.rate_hz, two.duration_s, two.distance_m) == (2, pytest.approx(10), pytest.approx(0.1), 2.0)


@pytest.mark.parametrize(("interval", "is_told"), [(2.0, False), (2.1, True), (6.0, True)])
def test_samples_more_than_two_seconds_apart_make_no_mean(interval, is_told):
    said = look_at(_speeds([20.0] * 9, 1 / interval)).measures.said
    assert said[0].startswith(f"Samples are {interval:.3g} s apart, more than 2 s: ") == is_told
    assert any("no positions" in line for line in said)


def test_what_positions_do_to_speeds_is_said():
    made = straight_run(np.full(60, 20.0), 10)
    plain = look_at(made.track(doppler=False)).measures.said
    assert plain[0] == "The file has no speeds of its own; they are worked out from positions."
    swing = np.tile([1, 1, -1, -1], 15) * 0.3
    jittering = look_at(replace(made, east=swing).track(doppler=False)).measures.said
    assert jittering[0].startswith(
        "The file has no speeds of its own; they are worked out from positions, over steps of 0."
    )
    assert not any("worked out from" in line for line in look_at(made.track()).measures.said)


@pytest.mark.parametrize(
    ("metres", "more", "words"),
    [
        (300, {}, "No two opposite passes over 100.58 m within 60 min among 1 long enough."),
        (50, {}, "No two opposite passes over 100.58 m within 60 min."),
        (
            50,
            {"course_m": 40.0, "limit_s": 90.0},
            "No two opposite passes over 40 m within 1.5 min among 1 long enough.",
        ),
    ],
)
def test_why_there_is_no_two_way_average_is_said(metres, more, words):
    track = straight_run(np.full(metres // 2, 20.0), 10).track()
    assert look_at(track, **more).measures.said == [words]


def test_a_log_with_all_there_is_says_nothing():
    assert look_at(there_and_back(20, 10).track()).measures.said == []
    broken = Track(np.array([0, 0.1, 0.2, 9, 9.1, 9.2]), START, speed_ms=np.full(6, 20.0))
    assert look_at(broken).measures.said[0] == "There are no 2 s without a break, so there is no headline speed."


@pytest.mark.parametrize(("kmh", "seconds"), [(14.9, 0.0), (15.1, 9.9)])
def test_she_planes_from_fifteen_kilometres_an_hour_on(kmh, seconds):
    measures = look_at(_speeds([kmh / 3.6] * 100)).measures
    assert (measures.planing_s, measures.planing_within_s) == (pytest.approx(seconds), pytest.approx(0.1))


def test_each_crossing_of_planing_is_known_within_a_gap():
    measures = look_at(_speeds([2.0] * 40 + [20.0] * 100 + [2.0] * 40)).measures
    assert measures.planing_s == pytest.approx(10, abs=0.5) and measures.planing_within_s == pytest.approx(0.2)


def test_a_pass_reaches_a_second_and_a_half_beyond_where_she_was_fast():
    """Slower than half, but along the same line: 10 m/s from the fifth to the fifteenth second."""
    speed = np.concatenate((np.full(50, 4.0), np.full(100, 10.0), np.full(50, 4.0)))
    [found] = look_at(straight_run(speed, 10).track()).measures.passes
    # Smoothed over half a second, she is over half of her top a tenth before the last slow sample.
    assert (found.start_s, found.end_s) == pytest.approx((4.8 - 1.5, 15.1 + 1.5), abs=0.051)
    assert found.entry_ms == pytest.approx(4) and found.exit_ms == pytest.approx(4) and found.peak_ms == 10


def test_a_pass_ends_where_she_leaves_its_line():
    """Off by half a right angle, half a second after she slowed down."""
    made = straight_run(np.concatenate((np.full(150, 10.0), np.full(50, 4.0))), 10)
    aside = np.maximum(np.arange(200) - 155, 0) * 0.4
    [found] = look_at(replace(made, east=aside).track()).measures.passes
    assert 15.3 <= found.end_s <= 15.8 and found.heading_deg == pytest.approx(0, abs=1)
