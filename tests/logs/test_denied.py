"""A log that contradicts itself: nothing of it becomes a run's speed, and what became one before is marked."""

import json
import re

import pytest
from sqlmodel import select

from garage.db.engine import writing
from garage.logs.cutting import cut_anew
from garage.logs.tables import LogFile, LogPiece
from garage.runs.tables import DeniedSpeed, Run
from tests.logs.made import gpx, there_and_back
from tests.logs.test_pages import garage, send  # noqa: F401
from tests.paths import DATA

# Places say 90 km/h, speeds say 324.
WRONG = there_and_back(25, 10).track(place_sd=0.02, speed_sd=0.05)
WRONG = type(WRONG)(WRONG.time_s, WRONG.start_unix_s, WRONG.lat_deg, WRONG.lon_deg, WRONG.speed_ms * 3.6)
RIGHT = there_and_back(25, 10).track(place_sd=0.02, speed_sd=0.05)


def as_measured_before(app, run_id: int) -> None:
    """What a program that did not hold speeds against places had written: 324 as headline and as the run's speed."""
    with writing(app.state.engine) as session:
        for row in session.exec(select(DeniedSpeed)):
            session.delete(row)
        piece = session.exec(select(LogPiece)).one()
        found = json.loads(piece.found)
        piece.top_kmh = found["top_speed_kmh"] = 324.218
        piece.two_way_kmh, found["two_way"] = 323.9, {"speed_kmh": 323.9}
        for name in ("agreement", "witnesses", "denied_kmh"):
            del found[name]
        piece.found = json.dumps(found)
        run = session.get(Run, run_id)
        run.speed_kmh, run.speed_how, run.ways, run.averaging_s, run.course_m = 324.22, "log", "one way", 2.0, None
        session.add_all([piece, run])


def test_both_figures_stand_on_every_page_and_nothing_is_offered(client, garage):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    of_run = f"/runs/{garage['first']}/logs"
    for address in ("/logs/1", "/logs/1/pieces/1", of_run, f"{of_run}/short"):
        page = client.get(address).text
        assert "contradicts itself" in page and "Which is right?" in page, address
        assert "324." in page and "90." in page and f"/runs/{garage['first']}/edit" in page, address
    sheet = client.get("/logs/1/pieces/1.json").json()
    assert sheet["offers"] == [] and sheet["line"]["top"]["value"] is None and sheet["line"]["two_way"]["value"] is None
    assert sheet["line"]["denied"]["receiver"]["value"] == pytest.approx(324, abs=1)
    assert sheet["line"]["denied"]["places"]["value"] == pytest.approx(90, abs=0.5)


def test_no_page_gives_an_accuracy_to_a_speed_that_the_places_deny(client, garage):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    sheet = client.get("/logs/1/pieces/1.json").json()
    [peak] = [measure for name, measure in sheet["facts"] if name == "A single reading"]
    assert peak["value"] > 300 and "within" not in peak["from"]
    assert peak["caution"] == sheet["line"]["peak"]["caution"] == "the log contradicts itself"
    rows = re.findall(r"<tbody>.*?</tbody>", client.get("/logs/1").text, re.DOTALL)
    assert rows and not any("32" + digit in row for row in rows for digit in "345")


def test_a_figure_of_one_of_its_passes_is_marked_too_and_one_that_the_places_may_say_is_not(
    app,
    client,
    garage,  # noqa: F811
):
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    passes = client.get("/logs/1/pieces/1.json").json()["passes"]
    shown = {round(one[name]["value"], 1) for one in passes for name in ("peak", "course")}
    assert len(shown) > 2
    for speed in (*sorted(shown), 90.0):
        with writing(app.state.engine) as session:
            run = session.get(Run, garage["first"])
            run.speed_kmh, run.speed_how, run.ways = speed, "log", "one way"
            session.add(run)
        is_marked = "its log contradicts itself" in client.get(f"/runs/{garage['first']}").text
        assert is_marked == (speed != 90.0), speed


def test_no_tap_writes_a_figure_of_it(app, client, garage):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    for which in ("top", "both", "peak"):
        assert client.post("/logs/1/pieces/1/speed", data={"which": which}).status_code == 422
    with writing(app.state.engine) as session:
        assert session.get(Run, garage["first"]).speed_kmh is None


def test_a_log_that_holds_together_is_offered_as_ever(client, garage):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("right.gpx", gpx(RIGHT)))
    assert client.get("/logs/1/pieces/1.json").json()["line"]["denied"] is None
    assert client.post("/logs/1/pieces/1/speed", data={"which": "top"}).status_code == 200
    assert "contradicts itself" not in client.get(f"/runs/{garage['first']}").text


def test_a_denied_figure_typed_by_hand_is_marked_and_is_no_record(app, client, garage):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    with writing(app.state.engine) as session:
        run = session.get(Run, garage["first"])
        run.speed_kmh = round(client.get("/logs/1/pieces/1.json").json()["line"]["denied"]["receiver"]["value"], 1)
        run.speed_how, run.ways = "log", "one way"
        session.add(run)
    assert "its log contradicts itself" in client.get(f"/runs/{garage['first']}").text
    assert "324" not in client.get("/records").text
    assert "a log that contradicts itself" not in client.get("/").text


def test_a_speed_taken_over_before_is_named_on_home_once_and_counts_for_nothing(app, client, garage, make_app):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    as_measured_before(app, garage["first"])
    assert "324" in client.get("/records").text
    make_app(app.state.settings.data_dir)

    assert "324" not in client.get("/records").text
    with writing(app.state.engine) as session:
        assert session.get(Run, garage["first"]).speed_kmh == 324.22
        assert session.exec(select(LogPiece)).one().top_kmh is None
    home = client.get("/").text
    assert "a log that contradicts itself" in home
    assert f'href="/runs/{garage["first"]}"' in home and 'href="/logs/1"' in home and "90." in home
    page = client.get(f"/runs/{garage['first']}").text
    assert "its log contradicts itself" in page and "the places say 90." in page

    client.post(f"/home/denied/{garage['first']}/noticed")
    make_app(app.state.settings.data_dir)
    assert "a log that contradicts itself" not in client.get("/").text
    assert "324" not in client.get("/records").text
    assert "its log contradicts itself" in client.get(f"/runs/{garage['first']}").text


def test_another_speed_ends_it(app, client, garage, make_app):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    as_measured_before(app, garage["first"])
    make_app(app.state.settings.data_dir)
    with writing(app.state.engine) as session:
        run = session.get(Run, garage["first"])
        run.speed_kmh = 90.0
        session.add(run)
    assert "its log contradicts itself" not in client.get(f"/runs/{garage['first']}").text
    assert "a log that contradicts itself" not in client.get("/").text
    assert "90" in client.get("/records").text


def test_a_log_measured_before_that_holds_together_keeps_its_figures(app, client, garage, make_app):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("right.gpx", gpx(RIGHT)))
    with writing(app.state.engine) as session:
        piece = session.exec(select(LogPiece)).one()
        found = json.loads(piece.found)
        # A figure that measuring anew would not give: it must be the one that stays.
        piece.top_kmh = found["top_speed_kmh"] = 88.888
        del found["agreement"], found["witnesses"]
        piece.found = json.dumps(found)
        session.add(piece)
    make_app(app.state.settings.data_dir)
    with writing(app.state.engine) as session:
        piece = session.exec(select(LogPiece)).one()
        after = json.loads(piece.found)
        assert piece.top_kmh == 88.888 and after.pop("agreement") == "agree" and after.pop("witnesses")
        assert after == found


def test_a_log_given_to_another_run_marks_the_speed_there(app, client, garage):  # noqa: F811
    send(client, f"/outings/{garage['outing']}/logs", ("wrong.gpx", gpx(WRONG)))
    client.post("/logs/1/runs", data={"piece1": str(garage["second"])})
    with writing(app.state.engine) as session:
        denied = session.exec(select(DeniedSpeed).where(DeniedSpeed.run_id == garage["second"])).all()
        assert any(row.speed_kmh == pytest.approx(324, abs=1) for row in denied)


def test_columns_picked_anew_mend_the_log_and_the_old_figure_stays_marked(app, client, garage):  # noqa: F811
    table = "time,speed m/s,lat,lon\n" + "".join(
        f"{t:.1f},{v:.3f},{lat:.8f},{lon:.8f}\n"
        for t, v, lat, lon in zip(WRONG.time_s, WRONG.speed_ms, WRONG.lat_deg, WRONG.lon_deg, strict=True)
    )
    send(client, f"/runs/{garage['first']}/logs", ("wrong.csv", table))
    values = client.get("/logs/1/columns.json").json()["values"]
    client.post("/logs/1/columns", data=values)
    said = client.get("/logs/1/pieces/1.json").json()["line"]["denied"]
    assert said["columns"] and 'href="/logs/1/columns"' in client.get("/logs/1").text
    client.post("/logs/1/columns", data=values | {"column1": "speed|km/h"})
    line = client.get("/logs/1/pieces/1.json").json()["line"]
    assert line["denied"] is None and line["top"]["value"] == pytest.approx(90, abs=0.5)
    with writing(app.state.engine) as session:
        assert any(row.speed_kmh > 300 for row in session.exec(select(DeniedSpeed)))


def test_the_command_shows_both_figures_and_asks(capsys):
    from garage.commands.track import track

    path = DATA / "logs" / "13_receiver_four_percent_high.csv"
    assert track([str(path)]) == 0
    said = capsys.readouterr().out
    assert "which is right? The receiver says 82.1 km/h, the places say 79.2 km/h" in said
    assert "a single reading: 82.3 km/h (of a log that contradicts itself)" in said
    assert track(["--json", str(path)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["top_speed_kmh"] is None and found["agreement"] == "disputed" and found["two_way"] is None
    assert found["witnesses"]["ratio"] == pytest.approx(1.037, abs=0.001)


def test_a_log_cut_anew_is_not_news_again(app, client, garage, make_app):  # noqa: F811
    send(client, f"/runs/{garage['first']}/logs", ("wrong.gpx", gpx(WRONG)))
    as_measured_before(app, garage["first"])
    make_app(app.state.settings.data_dir)
    client.post(f"/home/denied/{garage['first']}/noticed")
    with writing(app.state.engine) as session:
        cut_anew(session, session.get(LogFile, 1))
    assert "a log that contradicts itself" not in client.get("/").text
