"""Lists and pages of props and packs: where they were used, and their best speeds, each way of measuring
apart."""

import pytest
from sqlalchemy import event

from garage.db.engine import writing
from garage.hulls.store import hull
from garage.moments import Moment
from garage.packs.store import AfterRun, enter_run_discharges
from garage.runs.tables import Incident, Run, RunPack, RunProp
from garage.states.store import ensure_first_state
from garage.waters.tables import Outing, Water

NOW = Moment("2026-05-09T14:30:00Z", 0)
DAY = "2026-05-02T{:02}:{:02}:00Z"


@pytest.fixture
def garage(client, app):
    """A hull, two props and two packs, and an outing without runs."""
    client.post("/hulls/new", data={"name": "Heron", "kind": "mono", "screws": "1", "built_on": "2026-01-01"})
    for code in ("P1", "P2"):
        client.post(
            "/props/new",
            data={"code": code, "size": "642", "blades": "2", "hand": "right", "condition": "good"},
        )
    for code in ("J", "K"):
        client.post("/packs/new", data={"code": code, "cells_s": "3", "capacity": "4000"})
    with writing(app.state.engine) as session:
        session.add(Water(name="Hollow Mere", created_at=NOW.utc))
        session.flush()
        session.add(Outing(water_id=1, started_at=DAY.format(9, 0), created_at=NOW.utc))
        ensure_first_state(session, hull(session, 1), Moment(DAY.format(9, 0), 0))
    return app


def run(app, number: int, speed: float | None, *, edition: int = 1, pack: int = 1, **columns) -> None:
    with writing(app.state.engine) as session:
        at = DAY.format(10 + number // 60, number % 60)
        row = Run(
            outing_id=1, number=number, hull_id=1, state_id=1, started_at=at, cells_s=3, speed_kmh=speed,
            speed_how=columns.pop("speed_how", "log"), created_at=NOW.utc, **columns,
        )  # fmt: skip
        session.add(row)
        session.flush()
        session.add_all([RunProp(run_id=row.id, edition_id=edition), RunPack(run_id=row.id, pack_id=pack)])
        enter_run_discharges(session, row.id, Moment(at, 0), {pack: AfterRun(3000)})


def best(client, path: str) -> dict[str, float]:
    return {line["way"]: line["run"]["speed"]["value"] for line in client.get(f"{path}.json").json()["use"]["best"]}


def test_best_speeds_of_different_ways_stand_apart(client, garage):
    run(garage, 1, 61.0, ways="both ways", course_m=100.58, averaging_s=2)
    run(garage, 2, 64.0, ways="both ways", course_m=100.58, averaging_s=2)
    run(garage, 3, 63.0, ways="both ways", course_m=50.0, averaging_s=2)
    run(garage, 4, 72.0, speed_how="display")
    for path in ("/props/1", "/packs/1"):
        assert list(best(client, path).values()) == [64.0, 63.0, 72.0]
    assert best(client, "/props/2") == {}


def test_what_was_set_aside_or_spoiled_or_made_without_a_speed_is_no_best_speed(client, garage):
    run(garage, 1, 60.0)
    run(garage, 2, 70.0, set_aside_at=NOW.utc)
    run(garage, 3, 80.0)
    run(garage, 4, None)
    with writing(garage.state.engine) as session:
        session.add(Incident(run_id=3, kind="flip", spoiled_speed=True))
    assert list(best(client, "/props/1").values()) == [60.0]
    assert client.get("/props/1.json").json()["use"]["count"] == 4


def test_a_prop_keeps_the_runs_of_all_its_editions(client, garage):
    run(garage, 1, 60.0)
    rework = {"reworks": "sharpened", "condition": "good", "made": "2026-05-03T10:00"}
    client.post("/props/1/rework", data=rework)
    run(garage, 2, 65.0, edition=3)
    runs = client.get("/props/1.json").json()["use"]["runs"]
    assert [line["prop"] for line in runs] == ["P1 ed. 2, 42 × 67.2", "P1 ed. 1, 42 × 67.2"]
    refused = client.post("/props/1/editions/2/take-back")
    assert refused.status_code == 409 and "so it stays" in refused.text


def test_runs_break_a_pack_in_and_each_run_shows_how_it_stood_then(client, garage):
    for number in range(1, 6):
        run(garage, number, 60.0)
    sheet = client.get("/packs/1.json").json()
    assert (sheet["standing"]["flag"], sheet["standing"]["discharges"]) == ("in service", 5)
    assert client.get("/packs/2.json").json()["standing"]["flag"] == "fresh"
    oldest = sheet["use"]["runs"][-1]
    assert any("fresh" in flag for flag in oldest["flags"])


def test_a_run_s_discharge_is_not_set_aside_in_the_log_but_at_its_run(client, garage):
    run(garage, 1, 60.0)
    assert client.post("/packs/1/log/1/set-aside").status_code == 409
    assert 'href="/runs/1"' in client.get("/packs/1/log").text


def test_many_runs_are_cut_into_pages_and_cost_no_more_queries(client, garage):
    counted: list[str] = []
    event.listen(garage.state.engine, "before_cursor_execute", lambda *call: counted.append(call[2]))

    def queries(path: str) -> int:
        counted.clear()
        assert client.get(path).status_code == 200
        return len(counted)

    run(garage, 1, 60.0)
    few = [queries(path) for path in ("/props/1", "/packs/1")]
    for number in range(2, 46):
        run(garage, number, 60.0)
    assert [queries(path) for path in ("/props/1", "/packs/1")] == few
    pages = [client.get(f"/props/1.json?page={page}").json()["use"] for page in (1, 2, 3)]
    assert [(len(page["runs"]), page["more"]) for page in pages] == [(20, True), (20, True), (5, False)]


@pytest.mark.parametrize("path", ["/props", "/packs"])
def test_lists_are_pages_json_and_csv_of_one_content(client, garage, path):
    codes = [row["code"] for row in client.get(f"{path}.json").json()["rows"]]
    csv = client.get(f"{path}.csv").text
    assert all(code in client.get(path).text and code in csv for code in codes) and len(codes) == 2
    assert csv.count("\n") == 3
    assert client.get(f"{path}?retired=yes").status_code == 200


@pytest.mark.parametrize("path", ["/props", "/packs", "/packs/sets"])
def test_an_empty_list_teaches_the_first_move(client, path):
    page = client.get(path)
    assert page.status_code == 200 and 'class="empty"' in page.text


def test_what_a_person_typed_is_never_taken_for_markup(client):
    client.post("/packs/new", data={"code": "J", "cells_s": "3", "capacity": "4000", "name": "<script>x</script>"})
    assert "<script>x" not in client.get("/packs/1").text and "&lt;script&gt;x" in client.get("/packs/1").text


def test_a_pack_page_carries_the_cautions_with_their_sources(client, garage):
    page = client.get("/packs/1").text
    assert "never unattended" in page and "mpba-fes" in page
