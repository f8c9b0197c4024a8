"""The hull's page: as she stands, best speeds by way, planned work, and one line of time in pages."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.boats.history import history
from garage.boats.history_store import Mark, read_mark
from garage.boats.running_mass import running_mass
from garage.measures import Measure
from garage.runs import rests_store
from garage.services.tables import Service
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes
from garage.units import DisplayUnits
from tests.seeded import NOW, Garage, at, with_history

UNITS = DisplayUnits.metric()


@pytest.fixture
def garage(session) -> Garage:
    made = with_history(session)
    session.commit()
    return made


def sheet(client, garage, query=""):
    return client.get(f"/hulls/{garage.hulls['Medlar']}.json{query}").json()


def test_she_stands_with_mass_balance_motor_service_and_what_is_fitted(client, garage):
    now = sheet(client, garage)["now"]
    assert now["number"] >= 2 and len(now["fingerprint"]) == 8
    assert [line["title"] for line in now["fitted"]] == ["Trim tabs"]
    assert now["motors"][0]["text"].startswith("M1")
    assert now["running_mass"]["value"] == 812 + 310 and "without packs" in now["running_mass"]["from"]
    assert "since grease" in now["service"][0]["text"]


def test_best_speeds_stay_apart_by_way_the_fastest_first_and_lead_to_the_rebuild_sheet(client, garage):
    best = sheet(client, garage)["best"]
    assert [(one["way"], one["run"]["speed"]["value"]) for one in best] == [
        ("Display, not known how it was averaged, one way", 86.0),
        ("Log, both ways over 100.58 m", 83.4),
        ("Log, one way over 100.58 m", 81.0),
    ]
    page = client.get(f"/hulls/{garage.hulls['Medlar']}").text
    assert f"/runs/{best[0]['run']['id']}/rebuild#different" in page


def test_the_chart_draws_one_way_and_hollow_what_was_not_broken_in_or_spoiled(client, garage):
    chart = sheet(client, garage)["chart"]
    assert chart["way"] == "Log, both ways over 100.58 m"
    assert len(chart["doubtful"]) == 2 and len(chart["lines"]) == 4
    assert {other["count"] for other in chart["others"]} == {1}
    page = client.get(f"/hulls/{garage.hulls['Medlar']}").text
    assert page.count('class="dot hollow"') == 2 and page.count('class="dot"') == 2
    other = chart["others"][0]["anchor"]
    assert sheet(client, garage, f"?way={other}")["chart"]["way"] != chart["way"]
    assert sheet(client, garage, "?way=nonsense")["chart"]["way"] == chart["way"]


def test_planned_work_and_lines_to_try_next_stand_on_the_page(client, garage):
    found = sheet(client, garage)
    assert [(plan["title"], plan["status"], plan["steps"]) for plan in found["planned"]] == [
        ("Long strut", "under way", "1 of 2 steps done")
    ]
    assert found["try_next"][0]["text"] == "lead out of the left sponson"


def test_history_tells_outings_states_service_and_plans_newest_first(client, garage):
    events = sheet(client, garage)["history"]["events"]
    assert {event["kind"] for event in events} == {"outing", "state", "service", "plan"}
    fitted = next(event for event in events if event["kind"] == "state" and "Trim tabs fitted" in event["lines"])
    outings = [event for event in events if event["kind"] == "outing"]
    assert [len(event["runs"]) for event in outings] == [3, 3]
    assert outings[0]["at"]["utc"] > fitted["at"]["utc"] > outings[1]["at"]["utc"]


def test_pages_of_history_hold_every_event_once_even_within_one_second(session, garage):
    medlar = garage.hulls["Medlar"]
    same = at("04-20", "12:00")
    for number in range(7):
        session.add(Service(hull_id=medlar, kind="cleaned", at=same.utc, note=str(number), created_at=NOW.utc))
    make_changes(
        session, medlar, [ChangeFormData("set", setting="strut_height", detail={"value": 9.0})], same, NOW, rests_store
    )
    third = garage.outing("04-21")
    garage.run(third, at("04-21", "10:10"), speed_kmh=80)
    make_changes(
        session,
        medlar,
        [ChangeFormData("set", setting="strut_height", detail={"value": 8.0})],
        at("04-21", "10:20"),
        NOW,
        rests_store,
    )
    garage.run(third, at("04-21", "10:30"), speed_kmh=81)
    session.flush()
    whole = [(event.kind, event.title, event.lines) for event in history(session, medlar, None, UNITS, 100).events]
    for size in (1, 2, 3, 5):
        paged, before = [], None
        while True:
            stretch = history(session, medlar, before, UNITS, size)
            paged += [(event.kind, event.title, event.lines) for event in stretch.events]
            if not stretch.older:
                break
            before = read_mark(stretch.older)
        assert paged == whole, size


@given(st.text(max_size=40))
def test_any_text_in_the_address_is_a_mark_or_none(typed):
    mark = read_mark(typed)
    assert mark is None or read_mark(mark.text) == mark


def test_a_mark_reads_back():
    mark = Mark("2026-04-20T12:00:00Z", 2, 17)
    assert read_mark(mark.text) == mark


@pytest.mark.parametrize(
    "before",
    ["", "x", "2026-04-20T12:00:00Z~9~1", "~~~", "2026-04-20T12:00:00Z~1~99999999999999", "%00", "🚤"],
)
def test_odd_marks_never_break_the_page(client, garage, before):
    assert client.get(f"/hulls/{garage.hulls['Medlar']}/history", params={"before": before}).status_code == 200


def test_a_new_hull_has_a_page_that_says_what_is_missing(client, garage):
    page = client.get(f"/hulls/{garage.hulls['Quince']}")
    assert page.status_code == 200
    assert client.get("/hulls/999").status_code == 404


def test_weighed_mass_goes_before_the_sum_and_the_sum_says_what_it_leaves_out():
    added = Measure(400.0, "mass", "", "1 not known yet")
    assert running_mass(Measure(2236.0, "mass"), 812, added).value == 2236.0
    assert not running_mass(Measure(2236.0, "mass"), 812, added).caution
    assert "weigh again" in running_mass(Measure(1000.0, "mass"), 812, added).caution
    summed = running_mass(None, 812, added)
    assert summed.value == 1212.0 and summed.caution == "1 not known yet" and "without packs" in summed.origin
    assert running_mass(None, None, added).value is None


def test_the_table_file_of_a_hulls_history_holds_all_of_it_at_any_length(client):
    client.post("/hulls/new", data={"name": "Quince", "kind": "mono", "length": "69 cm", "screws": "1"})
    for day in range(1, 29):
        answer = client.post(
            "/hulls/1/service/new", data={"kind": "greased", "at": f"2026-02-{day:02}T10:00", "place": "single"}
        )
        assert answer.status_code == 200
    page = client.get("/hulls/1/history.json").json()
    rows = list(csv.DictReader(io.StringIO(client.get("/hulls/1/history.csv").text.lstrip("\ufeff"))))
    assert page["history"]["older"] and len(page["history"]["events"]) < len(rows)
    services = [row["at"][:10] for row in rows if row["kind"] == "service"]
    assert services == [f"2026-02-{day:02}" for day in range(28, 0, -1)]
