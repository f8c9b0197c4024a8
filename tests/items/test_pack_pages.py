"""What a pack did, its break-in plan, which pack for what, two side by side, labels, and the over-hot pack."""

import pytest
from sqlmodel import select

from garage.calc.pack_use import after_on_another_day_c
from garage.items.packs.plan import FirstDischarge, break_in_plan
from garage.logs.tables import LogFile, LogPiece
from garage.moments import Moment
from garage.packs.log.store import add_reading
from garage.packs.run_use import RunOnPack, pack_did
from garage.packs.store import pack as pack_row
from garage.runs.form_data import PackUse, PropUse, RunFormData, TemperatureFormData, run_facts
from garage.runs.store import add_run
from garage.runs.tables import RunPack
from tests.seeded import NOW, at, inventory, reading_form

FULL = RunOnPack(
    charge_mah=3000, duration_s=120, distance_m=1500, logged_s=120, start_c=20, air_c=15, after_c=48, rested_v=None,
    loaded_v=None, cells_s=4, capacity_mah=5000, mass_g=500, resistance_25_mohm=8, resistance_how="as read",
)  # fmt: skip


def hot_run(garage, day="04-12", clock="10:00", after_c=48.0, pack="J"):
    outing = garage.outing(day, air_c=14.0)
    pack_id = garage.packs[pack]
    return add_run(
        garage.session,
        RunFormData(
            garage.hulls["Medlar"], outing, run_facts(speed_kmh=80.0, speed_how="log", duration_s=110), at(day, clock),
            (PropUse(garage.editions["P1"]),),
            (PackUse(pack_id, charge_mah=2900, start_temperature_c=22.0, volts_after=(3.7, 3.71, 3.7)),),
            (TemperatureFormData("pack", after_c, 30, pack_id=pack_id), TemperatureFormData("motor end bell", 70)),
        ),
        NOW,
    )  # fmt: skip


def reading(garage, pack="J", method="charger DC step", day="04-01"):
    add_reading(garage.session, garage.packs[pack], reading_form([2.0, 2.1, 1.9], at(day), method), NOW)


@pytest.fixture
def garage(session):
    return inventory(session)


def test_a_run_is_worked_out_from_what_was_written():
    """By hand: 3.6 × 3000 / 120 = 90 A, 18 C; 0.5 kg × 1000 J/(kg K) × 28 K = 3.9 Wh; 60 - 48 = 12 K left."""
    did = pack_did(FULL)
    assert did.current.value == 90 and did.c_rate == 18
    assert did.heat_by_rise.value == pytest.approx(0.5 * 1000 * 28 / 3600)
    assert did.left.value == 12 and did.per_km.value == pytest.approx(did.energy.value / 1.5)
    assert did.sag.low < did.sag.value < did.sag.high and did.missing == []
    hot = after_on_another_day_c(20, 48, 35, 2600)
    assert (did.hot_day.low, did.hot_day.high) == (hot.low, hot.high) and "over 60 °C" in did.hot_day.caution


def test_what_is_missing_is_said_and_nothing_is_made_up():
    nothing = RunOnPack(None, None, None, None, None, None, None, None, None, 4, 5000, None, None)
    did = pack_did(nothing)
    measures = (did.current, did.energy, did.per_km, did.sag, did.heat_by_current, did.heat_by_rise, did.left)
    assert all(one.value is None for one in (*measures, did.hot_day)) and len(did.missing) == 6


def test_measured_volts_go_before_an_estimate_of_the_sag():
    did = pack_did(RunOnPack(**(vars(FULL) | {"rested_v": 16.4, "loaded_v": 14.9})))
    assert did.sag.value == pytest.approx(1.5) and did.sag.origin.startswith("measured")


def test_a_measured_sag_says_what_of_it_may_be_the_charge_drawn():
    """By hand: rested 16.4 V before and 15.4 V after, 14.2 V at the lowest: between 1.2 and 2.2 V."""
    did = pack_did(RunOnPack(**(vars(FULL) | {"rested_v": 16.4, "loaded_v": 14.2, "after_v": 15.4})))
    assert (did.sag.low, did.sag.high) == (pytest.approx(1.2), pytest.approx(2.2))
    odd = pack_did(RunOnPack(**(vars(FULL) | {"rested_v": 16.4, "loaded_v": 14.2, "after_v": 14.0})))
    assert odd.sag.low is None and "what the run took of its charge is in it" in odd.sag.origin


@pytest.mark.parametrize(
    ("facts", "origin"),
    [
        ({"loaded_v": 14.2}, "measured: volts by current"),
        ({"loaded_v": 14.2, "logged_s": 100}, "estimated: charge put back"),
        ({"loaded_v": 5.0}, "estimated: charge put back"),
        ({}, "estimated: charge put back"),
    ],
)
def test_energy_is_measured_where_a_log_has_the_packs_own_volts_throughout(facts, origin):
    did = pack_did(RunOnPack(**(vars(FULL) | {"logged_wh": 41.0} | facts)))
    assert did.energy.origin.startswith(origin) and (did.energy.value == 41.0) == origin.startswith("measured")
    assert did.per_km.value == pytest.approx(did.energy.value / 1.5)


def test_energy_a_kilometre_is_questioned_only_where_the_log_saw_part_of_the_run():
    assert pack_did(FULL).per_km.caution == ""
    part = pack_did(RunOnPack(**(vars(FULL) | {"logged_s": 80})))
    assert part.per_km.caution == "too high: the log saw 80 of 120 s" and part.missing == []
    little = pack_did(RunOnPack(**(vars(FULL) | {"logged_s": 44})))
    assert little.per_km.value is None and little.missing == ["most of the way (the log saw 44 of 120 s)"]


@pytest.mark.parametrize("loaded_v", [5.0, 16.4, 17.0])
def test_volts_that_are_not_this_packs_are_said_and_not_counted(loaded_v):
    """5 V on 4S is a receiver's supply; as much as at rest, or more, is no sag."""
    did = pack_did(RunOnPack(**(vars(FULL) | {"rested_v": 16.4, "loaded_v": loaded_v})))
    assert did.sag.origin.startswith("estimated") and f"lowest {loaded_v:.2f} V" in did.missing[0]


def test_the_plan_ticks_itself_off_and_says_what_was_harder():
    first = [
        FirstDischarge(Moment("2026-04-01T10:00:00Z", 0), "bench", 5.0, None),
        FirstDischarge(Moment("2026-04-02T10:00:00Z", 0), "run", 90.0, 7),
        FirstDischarge(Moment("2026-04-03T10:00:00Z", 0), "bench", None, None),
    ]
    plan = break_in_plan(5, 2.0, 5000, 1, first)
    assert [step.done for step in plan.steps] == [True] * 4 + [False]
    assert [step.harder for step in plan.steps] == [False, False, True, False, False]
    assert plan.next_current.value == 10 and not plan.finished and plan.steps[3].rate == ""


def test_a_plan_without_a_c_has_no_current_and_a_used_pack_has_it_behind():
    assert break_in_plan(4, None, 5000, 0, []).next_current.value is None
    assert break_in_plan(4, 2.0, 5000, 30, []).finished and break_in_plan(0, 2.0, 5000, 0, []).steps == []


def test_a_run_brings_temperature_and_volts_to_the_log_and_the_page_of_what_the_pack_did(client, garage):
    reading(garage), hot_run(garage)
    garage.session.commit()
    row = client.get("/packs/1/log.json").json()["rows"][0]
    assert row["temperature"]["value"] == 48 and row["volts"] == "3.70 3.71 3.70"
    did = client.get("/packs/1/did.json").json()["rows"][0]["did"]
    assert did["current"]["value"] == pytest.approx(3.6 * 2900 / 110) and did["sag"]["value"] > 0
    assert client.get("/packs/1/did").status_code == client.get("/packs/3/did").status_code == 200


def test_energy_a_kilometre_goes_by_the_log_that_saw_most_of_the_run(client, garage):
    run = hot_run(garage)
    for number, (metres, aside) in enumerate([(800.0, None), (1500.0, None), (9000.0, NOW.utc)], start=1):
        log = LogFile(
            sha256=str(number), name="a", kind="gpx", size_bytes=1, course_m=100, set_aside_at=aside, created_at=NOW.utc
        )
        garage.session.add(log)
        garage.session.flush()
        found = f'{{"distance_m": {metres}}}'
        piece = LogPiece(log_id=log.id, number=1, run_id=run.id, start_s=0, end_s=105, found=found)
        garage.session.add(piece)
    garage.session.commit()
    did = client.get("/packs/1/did.json").json()["rows"][0]["did"]
    assert did["per_km"]["value"] == pytest.approx(did["energy"]["value"] / 1.5)


# 100 s at 90 km/h with a sag of 3 s, and one dropout of the sender.
LOG = "Time (s),Speed (km/h),Voltage (V)\n" + "".join(
    f"{tenth / 10},90,{0 if tenth == 300 else 10.2 if 100 <= tenth < 130 else 11.6}\n" for tenth in range(1000)
)


def logged_run(garage, client, wiring="single"):
    """A run of 110 s on pack J, rested at 12.5 V, with a log."""
    run = hot_run(garage)
    pinned = garage.session.exec(select(RunPack).where(RunPack.run_id == run.id)).one()
    pinned.rested_v, pinned.wiring = 12.5, wiring
    garage.session.commit()
    sent = client.post(f"/runs/{run.id}/logs", files=[("log_files", ("drive.csv", LOG))])
    if str(sent.url).endswith("/columns"):
        picked = {"column0": "time|seconds", "column1": "speed|km/h", "column2": "voltage_v|V"}
        assert client.post("/logs/1/columns", data=picked).status_code == 200


def test_sag_and_energy_a_kilometre_come_from_the_log_of_the_run(client, garage):
    """By hand: 12.5 - 10.2 = 2.3 V; 99.9 s at 25 m/s are 2498 m."""
    logged_run(garage, client)
    did = client.get("/packs/1/did.json").json()["rows"][0]["did"]
    assert did["sag"]["value"] == pytest.approx(2.3) and did["sag"]["from"].startswith("measured")
    assert did["per_km"]["value"] == pytest.approx(did["energy"]["value"] / 2.4975, rel=2e-3)
    page = client.get("/packs/1/did").text
    assert "Energy for a km</th>" in page
    assert "resting less lowest volts of the log" in page and "the distance of the log" in page


def test_the_volts_of_packs_in_series_are_not_those_of_one(client, garage):
    logged_run(garage, client, wiring="series")
    did = client.get("/packs/1/did.json").json()["rows"][0]["did"]
    assert not did["sag"]["from"].startswith("measured")


def test_alternating_current_does_not_stand_in_for_resistance_under_load(client, garage):
    reading(garage, method="AC 1 kHz"), hot_run(garage)
    garage.session.commit()
    did = client.get("/packs/1/did.json").json()["rows"][0]["did"]
    assert did["sag"]["value"] is None and "a resistance reading by DC" in did["missing"]
    worked = dict(client.get("/runs/1.json").json()["worked_out"])
    assert "C-rate of the mean, J" in worked and "Heat in J" not in worked


def test_a_run_leads_to_what_each_of_its_packs_did_in_it(client, garage):
    run = hot_run(garage)
    garage.session.commit()
    assert f"/packs/1/did?run={run.id}" in client.get(f"/runs/{run.id}").text


def test_an_over_hot_pack_is_not_picked_without_a_tick(client, garage):
    hot_run(garage, day="05-09", clock="09:00", after_c=66.0)
    garage.session.commit()
    assert "66 °C" in client.get("/packs/1").text
    data = {"hull": "1", "outing": "1", "pack": "1", "speed": "70"}
    refused = client.post("/runs/new?hull=1&outing=1", data=data)
    assert refused.status_code == 422 and "came back at 66 °C" in refused.text
    assert client.post("/runs/new?hull=1&outing=1", data=data | {"pack_anyway": "yes"}).status_code == 200


def test_an_over_hot_pack_is_offered_the_next_day_with_that_said(client, garage):
    hot_run(garage, day="05-08", after_c=66.0)
    garage.outing("05-09")
    garage.session.commit()
    words = "came back at 66 °C, over 60 °C, and was not looked at since</small>"
    assert words in client.get("/runs/new?hull=1").text and words[:18] in client.get("/pit?hull=1").text
    client.post("/packs/1/log", data={"kind": "look", "at": "2026-05-09T12:00", "volts": "3.8; 3.8; 3.8"})
    assert "came back at" not in client.get("/runs/new?hull=1").text


def test_a_look_at_its_volts_frees_an_over_hot_pack(client, garage):
    hot_run(garage, day="05-09", clock="09:00", after_c=66.0)
    garage.session.commit()
    client.post("/packs/1/log", data={"kind": "look", "at": "2026-05-09T12:00", "volts": "3.8; 3.8; 3.8"})
    data = {"hull": "1", "outing": "1", "pack": "1", "speed": "70"}
    assert client.post("/runs/new?hull=1&outing=1", data=data).status_code == 200


def test_packs_that_fit_come_with_the_ready_first(client, garage):
    reading(garage, "J"), reading(garage, "K")
    pack_row(garage.session, garage.packs["J"]).damage = "puffed"
    garage.session.commit()
    rows = client.get("/packs/which.json?cells=3&current=100").json()["rows"]
    assert [row["code"] for row in rows] == ["K", "J"] and rows[1]["blocked"] == "puffed"
    assert rows[0]["sag"]["value"] == pytest.approx(0.6, rel=0.01) and rows[0]["per_ah"] == "8.0"
    assert "do not pick: puffed" in client.get("/packs/which?cells=3").text


def test_a_damaged_pack_is_not_asked_to_be_charged_or_broken_in_any_further(client, garage):
    asked = ("Write down a storage charge", "a gentle discharge")
    garage.session.commit()
    assert asked[1] in client.get("/packs/2").text
    pack_row(garage.session, garage.packs["K"]).damage = "puffed"
    garage.session.commit()
    page = client.get("/packs/2").text
    assert not [words for words in asked if words in page]
    assert client.get("/packs/2.json").json()["due"] == []


def test_packs_read_by_different_methods_are_said_not_to_compare(client, garage):
    reading(garage, "J"), reading(garage, "K")
    garage.session.commit()
    apart = "so compare only packs that were read alike"
    assert apart not in client.get("/packs/which?cells=3").text
    assert "do not compare" not in client.get("/packs/against?one=J&other=K").text
    reading(garage, "K", method="sag in a run", day="04-02")
    garage.session.commit()
    page = client.get("/packs/which?cells=3").text
    assert apart in page and "charger DC step; by sag in a run" in page
    assert "charger DC step and by sag in a run: their resistances do not compare" in (
        client.get("/packs/against?one=J&other=K").text
    )


def test_a_hull_brings_its_cells_and_its_current(client, garage):
    hot_run(garage)
    garage.session.commit()
    sheet = client.get("/packs/which.json?hull=1").json()
    assert sheet["cells"] == 3 and sheet["current"]["value"] == pytest.approx(3.6 * 2900 / 110)


@pytest.mark.parametrize(
    "query", ["hull=99", "cells=0", "cells=x", "current=-1", "current=" + "9" * 400, "hull=" + "€" * 500]
)
def test_a_question_that_makes_no_sense_is_answered_with_words(client, garage, query):
    garage.session.commit()
    page = client.get(f"/packs/which?{query}")
    assert page.status_code == 200 and 'class="error"' in page.text


def test_two_packs_side_by_side_and_a_code_that_is_not_there(client, garage):
    reading(garage)
    garage.session.commit()
    page = client.get("/packs/against?one=j&other=L").text
    assert "Capacity" in page and "One is broken in, another is not." in page
    assert "No pack has the code Z." in client.get("/packs/against?one=J&other=Z").text
    assert client.get("/packs/against").status_code == 200


@pytest.mark.parametrize("address", ["/packs/1/label", "/packs/labels", "/props/1/label", "/props/labels"])
def test_a_label_has_code_qr_and_a_line_to_write_on(client, garage, address):
    garage.session.commit()
    page = client.get(address).text
    assert "<svg" in page and 'class="line"' in page and ("pack J" in page or "prop P1" in page)


@pytest.mark.parametrize(
    ("typed", "address"),
    [("pack J", "/packs/1"), ("PACK j", "/packs/1"), ("prop P1", "/props/1"), ("J", "/packs/1"), (" P2 ", "/props/2")],
)
def test_what_a_label_says_opens_the_page_in_search(client, garage, typed, address):
    garage.session.commit()
    assert client.get("/search", params={"q": typed}).url.path == address


@pytest.mark.parametrize("typed", ["pack Z", "pack", "pack ", "Medlar", "", "prop J", "€" * 2000, "pack J K"])
def test_anything_else_stays_a_search(client, garage, typed):
    garage.session.commit()
    assert client.get("/search", params={"q": typed}).url.path == "/search"


def test_a_code_that_two_things_bear_stays_a_search_and_its_label_does_not(client, garage):
    pack_row(garage.session, garage.packs["J"]).code = "P1"
    garage.session.commit()
    assert client.get("/search?q=P1").url.path == "/search"
    assert client.get("/search?q=pack+P1").url.path == "/packs/1"
    assert client.get("/search?q=prop+P1").url.path == "/props/1"


@pytest.mark.parametrize("page", ["ageing", "did", "label"])
def test_there_is_no_such_page_for_a_pack_that_is_not_there(client, page):
    assert client.get(f"/packs/9/{page}").status_code == 404
