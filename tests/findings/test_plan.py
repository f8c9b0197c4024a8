"""Planning the day on its page: only what can be done, in a sound order, kept, printed and ticked off by runs."""

import re
from math import sqrt

import pytest
from sqlmodel import select

from garage.drives.store import part_spec
from garage.drives.tables import Part
from garage.findings.tables import PlannedRun
from garage.modifications.tables import Modification
from garage.packs.tables import Pack, PackLog
from garage.props.tables import Prop, PropEdition
from garage.runs import rests_store
from garage.runs.form_data import PackUse, PropUse, RunFormData, run_facts
from garage.runs.store import add_run
from garage.states.fold import ChangeFormData
from garage.states.query_store import current_state
from garage.states.store import make_changes
from tests.findings.conftest import close_all
from tests.seeded import BEGUN, NOW, at


def _ask(client, what: str) -> str:
    return client.post("/findings/ask", data={"what": what}).url.path


@pytest.fixture
def tabs(client, garage) -> str:
    """Address of the question about the trim tabs."""
    return _ask(client, f"{garage.hulls['Medlar']}|change|{garage.modifications['Trim tabs']}")


def _plan(client, question: str, query: str = "") -> dict:
    return client.get(f"{question}/plan.json?{query}").json()


def test_the_width_now_is_that_of_the_answer_however_many_runs_are_planned(client, tabs):
    effect = client.get(tabs + ".json").json()["effect"]
    half = (effect["high"] - effect["low"]) / 2
    for count in (2, 4, 6):
        line = next(line for line in _plan(client, tabs, f"runs={count}")["lines"] if "shrink" in line)
        now, after = (float(each) for each in re.findall(r"±([\d.]+) %", line))
        assert now == pytest.approx(half, abs=0.25) and after < now


def test_what_one_day_would_find_by_itself_is_told_at_the_scatter_of_these_runs(client, tabs):
    """2.8 sigma sqrt(2 / n): more runs find smaller differences."""
    sigma = client.get(tabs + ".json").json()["sigma_percent"]
    for count in (2, 4, 6):
        line = next(line for line in _plan(client, tabs, f"runs={count}")["lines"] if "4 times in 5" in line)
        expected = 2.8 * sigma * sqrt(2 / (count / 2))
        assert float(re.search(r"difference of ([\d.]+) %", line)[1]) == pytest.approx(expected, abs=0.051)


def test_what_is_glued_on_stays_on(client, tabs, garage, session):
    assert [key for key, _, _ in _plan(client, tabs)["sides"]] == ["with", "without"]
    session.get(Modification, garage.modifications["Trim tabs"]).permanence = "permanent"
    session.commit()
    plan = _plan(client, tabs)
    assert [key for key, _, _ in plan["sides"]] == ["with"]
    assert not [words for words in plan["words"] if words.startswith("without")]


def test_only_what_the_person_keeps_to_is_planned(client, tabs):
    everything = "offered=sides&offered=packs&runs=4&side=with&side=without"
    assert all("pack J" in words for words in _plan(client, tabs, f"{everything}&pack=J")["words"])
    for nothing in ("offered=sides&offered=packs&side=with&runs=4", "offered=sides&runs=4&pack=J"):
        plan = _plan(client, tabs, nothing)
        assert plan["words"] == [] and plan["lines"] == ["There is nothing to make the next runs with."]


def test_without_charging_at_the_water_each_pack_runs_once(client, tabs):
    plan = _plan(client, tabs, "runs=6&once=yes")
    packs = [re.search(r"pack (\w+)", words)[1] for words in plan["words"]]
    assert len(packs) == len(set(packs)) == len(plan["packs"]) and plan["once"]
    assert any("not more runs" in line for line in plan["lines"])


def test_what_the_log_of_a_pack_says_of_its_charge_stands_beside_it(client, tabs, garage, session):
    charged = PackLog(pack_id=garage.packs["J"], at=at("05-08").utc, kind="charge", created_at=NOW.utc)
    session.add(charged)
    session.commit()
    words = {lead: text for lead, text, _ in _plan(client, tabs)["packs"]}
    assert "charged on 8 May 2026" in words["J"]
    assert "K, discharge 3 comes next; emptied on 22 March 2026, no charge written since" in words["K"]


@pytest.mark.parametrize("what", ["retired_on", "damage"])
def test_a_pack_out_of_service_is_not_planned(client, tabs, garage, session, what):
    setattr(session.get(Pack, garage.packs["J"]), what, "2026-05-01")
    session.commit()
    plan = _plan(client, tabs)
    assert [lead for lead, _, _ in plan["packs"]] == ["K"]
    assert all("pack K" in words for words in plan["words"])


def test_packs_that_run_together_are_planned_together(client, garage, session):
    outing = garage.outing("05-02", air_c=14.0, wind_ms=3.0)
    quince, together = garage.hulls["Quince"], (PackUse(garage.packs["J"]), PackUse(garage.packs["K"]))
    for minute in (10, 20, 30, 40):
        if minute == 30:
            make_changes(session, quince, [ChangeFormData("set", setting="strut_height", detail={"value": 4.0})],
                         at("05-02", "10:25"), NOW, rests_store)  # fmt: skip
        elif minute == 10:
            make_changes(session, quince, [ChangeFormData("set", setting="strut_height", detail={"value": 2.0})],
                         at("05-02", "10:05"), NOW, rests_store)  # fmt: skip
        facts = run_facts(speed_kmh=70.0 + minute / 20, speed_how="log", ways="both ways", passes=2, course_m=50.0)
        form = RunFormData(quince, outing, facts, at("05-02", f"10:{minute}"), (PropUse(garage.editions["P1"]),),
                         together, (), ())  # fmt: skip
        add_run(session, form, NOW)
    close_all(session, garage)
    plan = _plan(client, _ask(client, f"{quince}|setting|strut_height@single"))
    assert [words for _, words, _ in plan["packs"]][0].startswith("J and K, discharge 7 comes next")
    pairs = [words for words in plan["words"] if "packs J and K (discharge" in words]
    assert [re.search(r"discharge (\d+)", words)[1] for words in pairs] == [str(7 + n) for n in range(len(pairs))]
    assert pairs and not [words for words in plan["words"] if "pack J" in words or "pack K" in words]


def test_a_prop_that_was_reworked_does_not_come_back(client, garage, session):
    question = _ask(client, f"{garage.hulls['Medlar']}|prop|{garage.editions['P2']}")
    assert {key for key, _, _ in _plan(client, question)["sides"]} == {"P1 ed. 1", "P2 ed. 1"}
    first = session.get(PropEdition, garage.editions["P2"])
    session.add(PropEdition(prop_id=first.prop_id, number=2, made_at=at("05-01").utc, created_at=NOW.utc))
    session.commit()
    plan = _plan(client, question)
    assert [key for key, _, _ in plan["sides"]] == ["P1 ed. 1"]
    assert not [words for words in plan["words"] if "P2" in words]


def test_a_retired_prop_is_not_the_one_of_the_next_runs(client, tabs, garage, session):
    assert _plan(client, tabs)["lines"][0] == "All with prop P1 ed. 1."
    session.get(Prop, session.get(PropEdition, garage.editions["P1"]).prop_id).retired_on = "2026-05-01"
    session.commit()
    assert _plan(client, tabs)["lines"][0] == "All with prop P2 ed. 1."


def test_two_build_states_are_planned_as_they_were_never_as_a_mixture(client, garage, session):
    medlar = garage.hulls["Medlar"]
    motor = Part(code="M2", kind="motor", name="red can", kv_stated=1900, mass_g=320, created_at=BEGUN.utc)
    session.add(motor)
    session.flush()
    swap = [ChangeFormData("take out", part_id=1), ChangeFormData("install", part_id=motor.id, detail=part_spec(motor))]
    make_changes(session, medlar, swap, at("05-01"), NOW, rests_store)
    outing = garage.outing("05-02", air_c=14.0, wind_ms=3.0)
    for minute in (10, 30):
        garage.run(outing, at("05-02", f"10:{minute}"), speed_kmh=85.0)
    close_all(session, garage)
    now = current_state(session, medlar).number
    session.commit()
    question = _ask(client, f"{medlar}|numbers|{now - 1}:{now}")
    sheet = client.get(question + ".json").json()
    plan = _plan(client, question, "runs=4")
    assert sheet["why"] == "" and plan["words"]
    for words in plan["words"]:
        assert ("with motor red can" in words) != ("with motor blue can" in words), words
        assert ("without motor red can" in words) != ("without motor blue can" in words), words


def test_runs_written_since_tick_the_plan_off_and_the_width_shrinks(client, tabs, garage, session):
    assert client.post(f"{tabs}/plan", data={"runs": "2", "pack": "J"}).status_code == 200
    kept = _plan(client, tabs)["kept"]
    assert [one["ticked"] for one in kept] == [False, False]
    # The clock stands still: planned the day before.
    for row in session.exec(select(PlannedRun)):
        row.at = at("05-08").utc
    day = garage.outing("05-09", air_c=14.0, wind_ms=3.0)
    garage.run(day, at("05-09", "10:05"), pack="K", speed_kmh=83.0)
    garage.run(day, at("05-09", "10:10"), speed_kmh=83.6)
    session.commit()
    plan = _plan(client, tabs)
    done = {one["words"].split(" ")[0]: one["run_id"] for one in plan["kept"] if one["ticked"]}
    assert list(done) == ["with"] and done["with"]
    assert plan["open_outing"] == day
    first = float(re.search(r"so far, ([\d.]+)", plan["kept_widths"])[1])
    off = ChangeFormData("take off", modification_id=garage.modifications["Trim tabs"])
    make_changes(session, garage.hulls["Medlar"], [off], at("05-09", "10:20"), NOW, rests_store)
    garage.run(day, at("05-09", "10:30"), speed_kmh=80.0)
    session.commit()
    plan = _plan(client, tabs)
    planned, so_far, expected = (float(each) for each in re.findall(r"([\d.]+) percent", plan["kept_widths"]))
    assert [one["ticked"] for one in plan["kept"]] == [True, True]
    assert expected < planned and so_far < first
    assert client.get(tabs + ".json").json()["verdict"] == "cannot tell yet"
    assert "The verdict waits until the outing is closed." in plan["open_width"]


def test_the_time_counts_every_change_of_setup_from_the_boat_as_she_is(client, tabs):
    plan = _plan(client, tabs, "runs=2&pack=J&pack=K&once=yes")
    starts = [words.split(" ")[0] for words in plan["words"]]
    changes = (starts[0] == "without") + (starts[0] != starts[1])
    assert plan["minutes"] == 15 * changes


def test_a_plan_is_kept_in_place_of_the_one_before_and_what_is_kept_is_what_was_shown(client, tabs):
    shown = _plan(client, tabs, "runs=6&once=yes")["words"]
    client.post(f"{tabs}/plan", data={"runs": "6", "once": "yes"})
    kept = [one["words"] for one in _plan(client, tabs)["kept"]]
    # Kept and printed they say the prop too, which is the same in all of them.
    assert [words.replace(" prop P1 ed. 1,", "") for words in kept] == shown
    assert all("prop P1 ed. 1" in words for words in kept)
    client.post(f"{tabs}/plan", data={"runs": "2"})
    kept = _plan(client, tabs)["kept"]
    assert len(kept) == 2
    assert client.post(f"{tabs}/plan/{kept[0]['id']}/crossed").status_code == 404
    assert client.post(f"{tabs}/plan/99999/tick").status_code == 404


def test_where_nothing_can_be_compared_the_page_says_what_is_missing(client, garage):
    question = _ask(client, f"{garage.hulls['Medlar']}|change|{garage.modifications['Long strut']}")
    plan = _plan(client, question)
    assert "Make at least one run with it" in plan["why"] and plan["words"] == []
    assert "Work it out" not in client.get(f"{question}/plan").text
