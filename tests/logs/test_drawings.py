"""Charts of a piece: an hour at 25 Hz is drawn as whole as a minute is."""

import re

import numpy as np
import pytest

from garage.calc.track.measure import look_at
from garage.calc.track.track import Track
from garage.logs.pieces.drawings import Window, speed_trace
from garage.logs.pieces.plan_drawing import plan
from garage.units import DisplayUnits
from tests.logs.made import there_and_back

UNITS = DisplayUnits()


def _drawn_length(svg):
    """How long all the strokes of pace are, in the units of the drawing."""
    total = 0.0
    for stroke in re.findall(r"M([^M\"]+)", "".join(re.findall(r'class="pace"[^>]* d="([^"]*)"', svg))):
        points = np.array([[float(number) for number in point.split()] for point in stroke.split("L")])
        total += float(np.hypot(*np.diff(points, axis=0).T).sum())
    return total


@pytest.mark.parametrize("rate", [1, 5, 10, 25])
@pytest.mark.parametrize("minutes", [1, 10, 60])
def test_a_plan_shows_the_whole_way_however_long_the_log(rate, minutes):
    rounds = minutes * 60 * 25 / 534
    looked = look_at(there_and_back(25, rate, rounds=rounds).track(place_sd=0.02, speed_sd=0.1))
    svg = str(plan(looked, Window(0, minutes * 60), UNITS))
    once_round = 534 / 250 * (520 - 2 * 34)
    assert _drawn_length(svg) > 0.9 * once_round
    assert len(svg) < 250_000


def test_a_plan_keeps_a_break_open():
    track = there_and_back(25, 10).track()
    kept = (track.time_s < 3) | (track.time_s > 8)
    parted = Track(
        track.time_s[kept], track.start_unix_s, track.lat_deg[kept], track.lon_deg[kept], track.speed_ms[kept]
    )
    longest = re.findall(r'class="pace"[^>]* d="([^"]*)"', str(plan(look_at(parted), Window(0, 60), UNITS)))
    assert "".join(longest).count("M") >= 2


@pytest.mark.parametrize("minutes", [1, 60])
def test_a_speed_without_breaks_is_one_line_however_long_the_log(minutes):
    looked = look_at(there_and_back(25, 25, rounds=minutes * 60 * 25 / 534).track(speed_sd=0.1))
    svg = str(speed_trace(looked, Window(0, minutes * 60), [], UNITS))
    assert svg.count('<polyline class="trace"') == 1


def test_a_break_within_one_column_of_a_long_chart_stays_open():
    track = there_and_back(25, 25, rounds=60 * 60 * 25 / 534).track(speed_sd=0.1)
    kept = (track.time_s < 1000) | (track.time_s > 1004)
    parted = Track(track.time_s[kept], track.start_unix_s, None, None, track.speed_ms[kept])
    svg = str(speed_trace(look_at(parted), Window(0, 3600), [], UNITS))
    assert svg.count('<polyline class="trace"') == 2
