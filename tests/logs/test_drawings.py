"""Charts of a piece: an hour at 25 Hz is drawn as whole as a minute is."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from garage.calc.track.measure import look_at
from garage.calc.track.track import Track
from garage.logs.pieces.drawings import Band, Window, channel_traces, speed_trace
from garage.logs.pieces.plan_drawing import plan
from garage.units import DisplayUnits
from garage.web.plot import LETTER_PX
from tests.logs.made import there_and_back
from tests.web.charted import shown_at_each_width, spans_px

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


@pytest.mark.parametrize("end", [3.0, 7.3, 60.0, 61.0, 599.0, 600.0, 3600.0])
def test_no_number_of_time_runs_into_another_or_into_the_unit(end):
    looked = look_at(there_and_back(25, 5, rounds=2).track())
    svg = str(speed_trace(looked, Window(0, end), [], UNITS))
    drawn = ElementTree.fromstring(svg)
    [unit] = [text for text in drawn.findall("text") if text.text == "s"]
    for width_px, shown in shown_at_each_width(drawn.findall("text")):
        spans = spans_px(shown, width_px)
        assert len(spans) >= 2 and spans[-1][1] < width_px - LETTER_PX
        assert all(before < start for (_, before), (start, _) in zip(spans, spans[1:], strict=False))
    assert unit.get("x") == "100%" and unit.get("class") == "label end"


@pytest.mark.parametrize("size", [1e-9, 1.0, 1e9, 1e100])
@pytest.mark.parametrize("count", [1, 2, 40])
def test_every_sample_of_a_channel_is_on_the_paper_whatever_its_size(size, count):
    time = np.arange(count) * 0.2
    track = Track(time, None, None, None, np.full(count, 10.0), channels={"voltage_v": size * (1 + time)})
    [(said, drawn)] = channel_traces(look_at(track), Window(0, 8), UNITS)
    points = [tuple(map(float, point.split(","))) for point in re.findall(r'points="([^"]*)"', drawn)[0].split()]
    assert said == "Voltage" and len(points) == count
    assert all(0 <= x <= 100 and 30 <= y <= 112 for x, y in points)
    assert points == sorted(points, key=lambda point: (point[0], -point[1]))


def test_a_window_without_samples_draws_nothing():
    looked = look_at(there_and_back(25, 5).track())
    nowhere = Window(-9, -8)
    assert speed_trace(looked, nowhere, [], UNITS) == "" and plan(looked, nowhere, UNITS) == ""
    assert channel_traces(looked, nowhere, UNITS) == []


def test_a_marked_span_is_cut_to_the_window_and_never_too_thin_to_see():
    looked = look_at(there_and_back(25, 5).track())
    bands = [Band(0, 10, "half"), Band(12, 12, "moment"), Band(20, 30, "no")]
    svg = str(speed_trace(looked, Window(5, 15), bands, UNITS))
    spans = re.findall(r'<rect class="band" x="([\d.]+)%" y="30" width="([\d.]+)%"[^>]*><title>(\w+)', svg)
    assert [(float(x), float(width), said) for x, width, said in spans] == [(0, 50, "half"), (70, 0.4, "moment")]


def test_a_metre_of_the_plan_is_as_long_north_as_east_and_north_is_up():
    east_then_north = Track(
        np.arange(21.0), None, 52.3 + np.repeat([0, 1e-3], [11, 10]) * np.r_[np.zeros(11), np.arange(1, 11)] / 10,
        5.5 + np.r_[np.arange(11), np.full(10, 10)] / 10 * 1e-3 / np.cos(np.radians(52.3)), np.full(21, 10.0),
    )  # fmt: skip
    svg = str(plan(look_at(east_then_north), Window(0, 21), UNITS))
    points = [list(map(float, point.split(","))) for point in re.findall(r'data-plan="([^"]*)"', svg)[0].split()]
    first, last = points[0], points[-1]
    assert last[1] - first[1] == pytest.approx(first[2] - last[2], rel=0.03) and last[2] < first[2]


def test_a_place_that_is_no_number_is_left_out_of_the_plan():
    looked = look_at(there_and_back(25, 5).track())
    looked.motion.north_m[3], looked.motion.east_m[5] = np.nan, np.inf
    svg = str(plan(looked, Window(0, 60), UNITS))
    assert "nan" not in svg and "inf" not in svg
    assert _drawn_length(svg) > 0.9 * 534 / 250 * (520 - 2 * 34)
