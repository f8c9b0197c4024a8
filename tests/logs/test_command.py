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
    assert "mean over two seconds: 95.4 km/h (within" in said and "both ways: 90.0 km/h" in said


@pytest.mark.parametrize(
    "arguments",
    [
        ["nowhere.gpx"],
        [__file__],
        ["."],
        ["/dev/urandom"],
        [],
        *(["x.gpx", "--course", wrong] for wrong in ("0", "-5", "abc", "", "nan", "inf", "1e9")),
        *(["x.gpx", "--within", wrong] for wrong in ("0", "-1", "x", "1441")),
        ["x.gpx", "--course"],
        ["x.gpx", "--nonsense"],
        ["x.gpx", "--json=yes"],
    ],
)
def test_what_cannot_be_read_is_said_on_one_line_with_code_2(arguments, capsys):
    assert main(["track", *arguments]) == 2
    out, said = capsys.readouterr()
    assert out == "" and said.strip() and "Traceback" not in said and said.count("\n") == 1


def test_an_empty_file_is_said_to_be_empty_with_code_2(tmp_path, capsys):
    empty = tmp_path / "empty.gpx"
    empty.touch()
    assert main(["track", str(empty), "--json"]) == 2
    out, said = capsys.readouterr()
    assert out == "" and "empty" in said and said.count("\n") == 1


def test_one_file_that_cannot_be_read_keeps_none_of_the_others_from_being_measured(hour, capsys):
    assert main(["track", str(hour), "nowhere.gpx", str(hour), "--json"]) == 2
    out, said = capsys.readouterr()
    assert [one["file"] for one in json.loads(out)] == [str(hour)] * 2
    assert "nowhere.gpx" in said and said.count("\n") == 1
