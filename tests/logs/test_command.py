"""`garage track`: the same measures without the app."""

import json

import pytest

from garage.cli import main
from tests.logs.made import gpx, there_and_back
from tests.paths import DATA

KEYS = {
    "samples",
    "rate_hz",
    "duration_s",
    "distance_m",
    "speed_source",
    "rejected_samples",
    "top_speed_kmh",
    "peak_kmh",
    "best",
    "two_way",
    "passes",
    "corners",
}


@pytest.fixture
def hour(tmp_path):
    path = tmp_path / "run.gpx"
    path.write_text(gpx(there_and_back(25, 10, current=1.5).track()))
    return path


def test_json_has_the_agreed_keys_in_the_agreed_units(hour, capsys):
    assert main(["track", str(hour), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert set(found) >= KEYS and set(found["best"]) == {"1s", "2s", "course"}
    assert found["rate_hz"] == pytest.approx(10) and found["speed_source"] == "doppler"
    assert found["top_speed_kmh"] == found["best"]["2s"] == pytest.approx(26.5 * 3.6, abs=0.01)
    assert found["two_way"]["course_m"] == 100.58
    assert found["two_way"]["speed_kmh"] == pytest.approx(90, abs=0.05)
    assert found["two_way"]["mean_of"] == "speeds" and found["two_way"]["mean_of_times_kmh"] < 90
    assert set(found["corners"][0]) >= {"entry_kmh", "lowest_kmh", "exit_kmh", "radius_m", "lateral_g"}


def test_another_course_may_be_given(hour, capsys):
    assert main(["track", str(hour), "--course", "50", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["two_way"]["course_m"] == 50


def test_a_course_longer_than_any_pass_has_no_two_way(hour, capsys):
    assert main(["track", str(hour), "--course", "400", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["two_way"] is None and found["best"]["course"] is not None


def test_rare_samples_have_null_means_and_a_note(capsys):
    assert main(["track", str(DATA / "gpx" / "track_with_speed.gpx"), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["top_speed_kmh"] is None and found["best"] == {"1s": None, "2s": None, "course": None}
    assert found["peak_kmh"] == pytest.approx(3.2 * 3.6) and "more than 2 s" in found["notes"][0]


def test_words_name_the_headline_and_the_way_it_is_known(hour, capsys):
    assert main(["track", str(hour)]) == 0
    said = capsys.readouterr().out
    assert "top speed: 95.4 km/h (best 2 s mean" in said and "both ways: 90.0 km/h" in said


@pytest.mark.parametrize("arguments", [["nowhere.gpx"], [__file__], ["x.gpx", "--course", "0"]])
def test_what_cannot_be_read_is_said_on_one_line_with_code_2(arguments, capsys):
    assert main(["track", *arguments]) == 2
    said = capsys.readouterr().err
    assert said.strip() and "Traceback" not in said and said.count("\n") == 1
