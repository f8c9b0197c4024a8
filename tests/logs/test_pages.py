"""Logs in the garage: taken in, cut, given to runs, looked at, and written as a run's speed."""

import re

import numpy as np
import pytest

from garage.db.engine import writing
from garage.errors import GarageError
from garage.logs import intake
from garage.logs.cutting import cut_anew, matched
from garage.logs.tables import LogFile, LogPiece
from garage.runs.tables import Run
from garage.waters.tables import Outing, Water
from tests.logs.made import Made, gpx, nmea, there_and_back
from tests.seeded import at, inventory


@pytest.fixture
def garage(app):
    """An outing of 3 May 2026 with two runs; returns ids."""
    with writing(app.state.engine) as session:
        made = inventory(session)
        outing = made.outing("05-03")
        first = made.run(
            outing,
            at("05-03", "09:20"),
            speed_kmh=None,
            speed_how="",
            ways="",
            averaging_s=None,
            course_m=None,
            passes=None,
            corner_rating=4,
        )
        second = made.run(outing, at("05-03", "09:40"), prop="P2")
        return {"outing": outing, "first": first.id, "second": second.id, "hull": made.hulls["Medlar"]}


def send(client, address, *files):
    return client.post(address, files=[("log_files", (name, content)) for name, content in files])


TRACK = there_and_back(25, 10).track(place_sd=0.02, speed_sd=0.05)


def day_at_the_water():
    """Two runs with a long rest between; the second begins twenty minutes after the first."""
    run = there_and_back(22, 5)
    rest_s = np.arange(run.time_s[-1] + 0.2, 1200, 0.2)
    still = np.zeros(len(rest_s))
    time = np.concatenate((run.time_s, rest_s, run.time_s + 1200))
    east = np.concatenate((run.east, still + run.east[-1], run.east))
    north = np.concatenate((run.north, still + run.north[-1], run.north))
    return Made(time, east, north, np.concatenate((run.speed, still, run.speed))).track(speed_sd=0.02)


def test_a_log_on_a_run_becomes_a_piece_with_its_measures(client, garage):
    page = send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    assert page.status_code == 200 and "one.gpx" in page.text
    sheet = client.get("/logs/1/pieces/1.json").json()
    assert sheet["line"]["run_id"] == garage["first"]
    assert sheet["speeds"][0][1]["value"] == pytest.approx(90, abs=0.6)
    assert "within" in sheet["speeds"][0][1]["from"] and len(sheet["corners"]) >= 3
    shown = client.get("/logs/1/pieces/1").text
    assert "Speed over time" in shown and "Plan of the track" in shown and "mean over two seconds" in shown


def test_the_file_is_kept_as_it_came(client, garage):
    content = gpx(TRACK).encode()
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", content))
    assert client.get("/logs/1/file").content == content


def test_the_same_file_twice_is_noticed(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    again = send(client, f"/runs/{garage['second']}/logs", ("copy.gpx", gpx(TRACK)))
    assert again.status_code == 422 and "the same file is here already, as one.gpx" in again.text
    assert len(client.get("/logs.json").json()["rows"]) == 1


def test_a_file_that_cannot_be_read_costs_the_others_nothing(client, garage):
    page = send(client, f"/outings/{garage['outing']}/logs", ("bad.gpx", "<gpx/>"), ("good.nmea", nmea(TRACK)))
    assert page.status_code == 200 and "bad.gpx: The file holds no track points" in page.text
    assert [row["name"] for row in client.get("/logs.json").json()["rows"]] == ["good.nmea"]


@pytest.mark.parametrize("content", ["", "<gpx", "words only", "\x00\x01\x02" * 50])
def test_a_lone_bad_file_is_refused_beside_the_field(client, garage, content):
    page = send(client, f"/runs/{garage['first']}/logs", ("bad.log", content))
    assert page.status_code == 422 and 'id="e-log_files"' in page.text
    assert client.get("/logs.json").json()["rows"] == []


def test_no_file_at_all_is_said(client, garage):
    page = client.post(f"/runs/{garage['first']}/logs", data={"x": "y"})
    assert page.status_code == 422 and "Choose a file" in page.text


def test_a_log_of_a_day_is_cut_at_the_rests_and_offered_by_time(client, garage):
    send(client, f"/outings/{garage['outing']}/logs", ("day.gpx", gpx(day_at_the_water())))
    pieces = client.get("/logs/1.json").json()["pieces"]
    assert [piece["run_id"] for piece in pieces] == [garage["first"], garage["second"]]
    assert pieces[1]["start_s"] == pytest.approx(1200, abs=3)
    assert pieces[0]["clock"].startswith("09:20")


def test_a_piece_can_be_given_to_another_run_or_to_none(client, garage):
    send(client, f"/outings/{garage['outing']}/logs", ("day.gpx", gpx(day_at_the_water())))
    client.post("/logs/1/runs", data={"piece1": str(garage["second"]), "piece2": ""})
    assert [piece["run_id"] for piece in client.get("/logs/1.json").json()["pieces"]] == [garage["second"], None]
    wrong = client.post("/logs/1/runs", data={"piece1": "999", "piece2": ""})
    assert wrong.status_code == 422


def test_a_longer_rest_leaves_the_day_whole(client, garage):
    send(client, f"/outings/{garage['outing']}/logs", ("day.gpx", gpx(day_at_the_water())))
    client.post("/logs/1/cut", data={"rest": "30 min", "course": "50", "within": "1 h"})
    sheet = client.get("/logs/1.json").json()
    assert len(sheet["pieces"]) == 1 and sheet["values"]["course"] == "50"
    assert client.post("/logs/1/cut", data={"rest": "no", "course": "", "within": ""}).status_code == 422


def test_the_two_way_average_can_be_written_as_the_runs_speed(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    page = client.post("/logs/1/pieces/1/speed", data={"which": "both"})
    assert str(page.url).endswith(f"/runs/{garage['first']}")
    line = client.get(f"/runs/{garage['first']}.json").json()["line"]
    assert line["speed"]["value"] == pytest.approx(90, abs=0.5)
    assert "log" in line["known"] and "both ways over 100.58" in line["known"]


def test_what_stood_there_before_is_kept_as_a_correction(client, garage):
    send(client, f"/runs/{garage['second']}/logs", ("one.gpx", gpx(TRACK)))
    client.post("/logs/1/pieces/1/speed", data={"which": "top"})
    corrections = client.get(f"/runs/{garage['second']}.json").json()["corrections"]
    assert any("one.gpx" in str(one) for one in corrections)
    assert client.post("/logs/1/pieces/1/speed", data={"which": "nonsense"}).status_code == 422


def test_struck_out_samples_are_shown_and_can_be_let_count_and_struck_again(client, garage):
    spoiled = there_and_back(25, 10).track()
    spoiled.speed_ms[100] = 60.0
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(spoiled)))
    sheet = client.get("/logs/1/pieces/1.json").json()
    assert sheet["struck"] == [
        {"first": 100, "last": 100, "at_s": pytest.approx(10), "reason": "acceleration beyond what a boat does"}
    ]
    assert 'class="struck"' in client.get("/logs/1/pieces/1").text
    assert client.post("/logs/1/pieces/1/restore", data={"first": "100", "why": ""}).status_code == 422
    client.post("/logs/1/pieces/1/restore", data={"first": "100", "last": "", "why": "seen by a gate as well"})
    sheet = client.get("/logs/1/pieces/1.json").json()
    assert sheet["struck"] == [] and sheet["restored"][0]["why"] == "seen by a gate as well"
    assert client.get("/logs/1.json").json()["pieces"][0]["peak"]["value"] == pytest.approx(216)
    client.post("/logs/1/pieces/1/restored/1/strike")
    assert client.get("/logs/1.json").json()["pieces"][0]["peak"]["value"] == pytest.approx(90, abs=0.1)


TABLE = "when;how fast;bus\n" + "".join(
    f"{at / 10:.1f};{50 + at % 7},5;{11 - at / 1000:.3f}\n".replace(".", ",") for at in range(400)
)


def test_columns_of_a_table_are_picked_once_and_remembered(client, garage):
    page = send(client, f"/runs/{garage['first']}/logs", ("first.csv", TABLE))
    assert str(page.url).endswith("/logs/1/columns") and "how fast" in page.text
    assert client.get("/logs/1/pieces/1").status_code == 404
    assert client.post("/logs/1/columns", data={"column1": "speed|km/h"}).status_code == 422
    twice = client.post(
        "/logs/1/columns", data={"column0": "time|seconds", "column1": "speed|km/h", "column2": "speed|m/s"}
    )
    assert twice.status_code == 422 and "picked for that already" in twice.text
    page = client.post(
        "/logs/1/columns", data={"column0": "time|seconds", "column1": "speed|km/h", "column2": "voltage_v|V"}
    )
    assert page.status_code == 200 and "400 samples" in page.text
    page = send(client, f"/runs/{garage['second']}/logs", ("second.csv", TABLE.replace("50", "51")))
    assert "second.csv" in page.text and not str(page.url).endswith("columns")
    drive = dict(client.get("/logs/2/pieces/1.json").json()["drive"])
    assert drive["Lowest voltage"]["value"] == pytest.approx(10.601)


def test_slip_is_named_by_how_it_is_known(client, garage):
    rows = "Time (s),Speed (km/h),RPM,Voltage (V),Current (A)\n" + "".join(
        f"{at / 10},80,24000,11.1,60\n" for at in range(300)
    )
    send(client, f"/runs/{garage['first']}/logs", ("drive.csv", rows))
    picked = {
        "column0": "time|seconds",
        "column1": "speed|km/h",
        "column2": "shaft_rpm|rpm",
        "column3": "voltage_v|V",
        "column4": "current_a|A",
    }
    client.post("/logs/1/columns", data=picked)
    drive = dict(client.get("/logs/1/pieces/1.json").json()["drive"])
    # 24,000 rpm on a pitch of 66 mm is 95.04 km/h.
    assert drive["Slip (measured shaft speed)"]["value"] == pytest.approx(100 * (1 - 80 / 95.04), abs=0.01)
    assert not any("Apparent" in name for name in drive)
    assert drive["Energy for a km"]["value"] == pytest.approx(11.1 * 60 / 80, rel=1e-3)


def test_corners_gather_by_build_state_with_the_feel_beside_them(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    rows = client.get(f"/hulls/{garage['hull']}/corners.json").json()["rows"]
    assert len(rows) == 1 and rows[0]["corners"] >= 3 and rows[0]["rating"] == 4
    assert rows[0]["lateral_g"] == pytest.approx(25**2 / 15 / 9.80665, rel=0.15)
    assert "How Medlar corners" in client.get(f"/hulls/{garage['hull']}/corners").text


@pytest.mark.parametrize(
    "query", ["?from=10&to=20", "?from=x&to=", "?from=-5&to=1e99", "?from=20&to=10", "?from=nan&to=inf"]
)
def test_any_span_can_be_looked_at(client, garage, query):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    for address in ("/logs/1/pieces/1", "/logs/1/pieces/1/trace"):
        assert client.get(address + query).status_code == 200


def test_an_hour_at_25_hz_is_drawn_with_few_points(client, garage):
    long = there_and_back(25, 25, rounds=20).track()
    send(client, f"/runs/{garage['first']}/logs", ("hour.gpx", gpx(long)))
    text = client.get("/logs/1/pieces/1/trace").text
    assert sum(len(points.split()) for points in re.findall(r'class="trace" points="([^"]*)"', text)) <= 2000
    assert len(text) < 250_000


def test_a_log_set_aside_is_out_of_sight_and_can_be_brought_back(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    client.post("/logs/1/aside")
    assert client.get("/logs.json").json()["rows"] == []
    assert client.get(f"/runs/{garage['first']}/logs.json").json()["pieces"] == []
    client.post("/logs/1/return")
    assert len(client.get(f"/runs/{garage['first']}/logs.json").json()["pieces"]) == 1


def test_the_file_of_a_log_set_aside_can_be_added_again(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    client.post("/logs/1/aside")
    assert send(client, f"/runs/{garage['second']}/logs", ("one.gpx", gpx(TRACK))).status_code == 200
    assert [row["id"] for row in client.get("/logs.json").json()["rows"]] == [1]


@pytest.mark.parametrize(
    "address",
    [
        "/logs/9",
        "/logs/9/pieces/1",
        "/runs/9/logs",
        "/outings/9/logs",
        "/hulls/9/corners",
        "/logs/9/file",
        "/logs/9/columns",
    ],
)
def test_what_is_not_there_is_not_found(client, garage, address):
    assert client.get(address).status_code == 404


def test_pieces_without_times_of_day_go_to_runs_in_order_only_if_there_are_as_many():
    pieces = [LogPiece(log_id=1, number=n, start_s=n * 100, end_s=n * 100 + 50) for n in (1, 2)]
    runs = [
        Run(id=n + 10, outing_id=1, number=n, hull_id=1, state_id=1, started_at="2026-05-03T09:00:00Z", created_at="")
        for n in (1, 2)
    ]
    assert [run for _, run in matched(None, pieces, runs)] == [11, 12]
    assert matched(None, pieces, runs[:1]) == []


def test_every_log_owns_its_file(app, client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    with writing(app.state.engine) as session:
        row = session.get(LogFile, 1)
        assert (app.state.settings.files_dir / row.sha256[:2] / f"{row.sha256}.log").is_file()


def test_logs_may_be_larger_than_other_forms(app, client, garage):
    more = {"content-length": str(app.state.settings.max_body_bytes + 1)}
    too_much = {"content-length": str(app.state.settings.max_upload_bytes + 1)}
    for address in (f"/runs/{garage['first']}/logs", f"/outings/{garage['outing']}/logs"):
        assert "Choose a file" in client.post(address, headers=more).text
        assert client.post(address, headers=too_much).status_code == 413
    assert client.post("/logs/1/cut", headers=more).status_code == 413
    assert client.post("/logs/1/cut/runs/1/logs", headers=more).status_code == 413


def test_others_can_write_while_a_log_is_read(app, client, garage, monkeypatch):
    def read_and_write(part, name, columns):
        with writing(app.state.engine) as session:
            session.get(Outing, garage["outing"]).notes = "written meanwhile"
        return _read(part, name, columns)

    _read = intake._read
    monkeypatch.setattr(intake, "_read", read_and_write)
    assert send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK))).status_code == 200
    assert "written meanwhile" in client.get(f"/outings/{garage['outing']}").text


def test_what_cannot_be_kept_of_one_file_costs_the_others_nothing(client, garage, monkeypatch):
    def cut(session, row):
        pieces = cut_anew(session, row)
        if row.name == "bad.nmea":
            raise GarageError("Something is wrong with its pieces.")
        return pieces

    monkeypatch.setattr(intake, "cut_anew", cut)
    page = send(client, f"/runs/{garage['first']}/logs", ("bad.nmea", nmea(TRACK)), ("good.gpx", gpx(TRACK)))
    assert page.status_code == 200 and "Not kept: bad.nmea: Something is wrong" in page.text
    assert [row["name"] for row in client.get("/logs.json").json()["rows"]] == ["good.gpx"]


def test_the_same_file_twice_in_one_form_is_kept_once(client, garage):
    page = send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)), ("two.gpx", gpx(TRACK)))
    assert page.status_code == 200 and "two.gpx: the same file is here already" in page.text
    assert [row["name"] for row in client.get("/logs.json").json()["rows"]] == ["one.gpx"]


def test_nothing_of_a_refused_file_stays_on_the_disk(app, client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("bad.gpx", "<gpx/>"))
    assert [path for path in app.state.settings.files_dir.rglob("*") if path.is_file()] == []


def test_the_time_between_opposite_passes_is_limited_on_the_page(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))

    assert client.get("/logs/1.json").json()["pieces"][0]["two_way"]["value"] == pytest.approx(90, abs=0.5)
    wrong = client.post("/logs/1/cut", data={"rest": "60 s", "course": "100.58", "within": "2 days"})
    assert wrong.status_code == 422 and 'id="e-within"' in wrong.text
    client.post("/logs/1/cut", data={"rest": "60 s", "course": "100.58", "within": "10 s"})
    sheet = client.get("/logs/1.json").json()
    assert sheet["pieces"][0]["two_way"]["value"] is None
    client.post("/logs/1/cut", data={"rest": "60 s", "course": "100.58", "within": "40 s"})
    assert client.get("/logs/1.json").json()["pieces"][0]["two_way"]["value"] == pytest.approx(90, abs=0.5)


def test_the_charts_stand_in_figures_beside_them(client, garage):
    rows = "Time (s),Speed (km/h),Voltage (V),Current (A)\n" + "".join(f"{at / 10},72,11,60\n" for at in range(300))
    send(client, f"/runs/{garage['first']}/logs", ("drive.csv", rows))
    picked = ("time|seconds", "speed|km/h", "voltage_v|V", "current_a|A")
    client.post("/logs/1/columns", data={f"column{at}": one for at, one in enumerate(picked)})
    slices = client.get("/logs/1/pieces/1.json").json()["trace"]["slices"]
    figures = dict(slices[5]["figures"])
    assert len(slices) == 12 and figures["Mean speed"]["value"] == pytest.approx(72)
    assert figures["Power"]["value"] == pytest.approx(660)
    assert figures["Energy for a km"]["value"] == pytest.approx(660 / 72, rel=1e-3)
    assert "East" not in figures
    for address in ("/logs/1/pieces/1", "/logs/1/pieces/1/trace?from=5&to=9"):
        text = client.get(address).text
        assert "The charts in figures" in text and "Power over time" in text


def test_a_log_is_measured_over_the_course_of_its_water(app, client, garage):
    with writing(app.state.engine) as session:
        session.get(Water, session.get(Outing, garage["outing"]).water_id).course_m = 80.0
    assert client.get(f"/runs/{garage['first']}/logs.json").json()["course"]["value"] == 80
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    names = [name for name, _ in client.get("/logs/1/pieces/1.json").json()["speeds"]]
    assert "One way over 80 m" in names
    offers = client.get("/logs/1/pieces/1.json").json()["offers"]
    assert "both ways over 80 m" in offers[0]["words"]


def test_a_page_says_within_which_time_no_opposite_pass_was_found(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    client.post("/logs/1/cut", data={"rest": "60 s", "course": "100.58", "within": "10 s"})
    assert "No two opposite passes over 100.58 m within 0.167 min" in client.get("/logs/1/pieces/1").text


def test_what_is_odd_about_a_file_is_said_when_it_is_read(client, garage):
    cut = gpx(TRACK)[: len(gpx(TRACK)) // 2]
    page = send(client, f"/outings/{garage['outing']}/logs", ("cut.gpx", cut))
    assert page.status_code == 200 and "cut.gpx: The file is damaged or cut short" in page.text


def test_a_table_that_waits_for_its_columns_is_not_said_to_hold_no_run(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("odd.csv", "a,b\n1,2\n2,3\n3,4\n"))
    page = client.get("/logs/1").text
    assert "Say which column is what" in page and "No piece" not in page


def test_every_measure_of_a_piece_says_how_it_was_computed_and_within_how_much(client, garage):
    send(client, f"/runs/{garage['first']}/logs", ("one.gpx", gpx(TRACK)))
    sheet = client.get("/logs/1/pieces/1.json").json()
    figures = dict(sheet["speeds"]) | dict(sheet["facts"])
    assert {name for name, one in figures.items() if "within" not in one["from"]} == {"Time"}
    assert "samples in a row" in figures["Mean over two seconds"]["from"]
