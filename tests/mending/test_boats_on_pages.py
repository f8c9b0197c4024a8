"""What was otherwise with a boat, on the pages: looked at before, saved, and taken back."""

import re

import pytest

from garage.archive.check import check
from garage.db.engine import writing
from garage.modifications.fitting import fit
from garage.modifications.forms import FitFormData
from garage.modifications.step_store import add_step, tick_step
from garage.modifications.store import add_modification
from garage.runs import rests_store
from garage.states.query_store import state_by_number
from tests.states.boat import NOW, at, make_boat, set_to


@pytest.fixture
def ids(app) -> dict[str, int]:
    """A boat with a visit on 10 April that was on the 6th, runs around it, work fitted on the 11th; another boat."""
    with writing(app.state.engine) as session:
        boat = make_boat(session)
        boat.visit(set_to(3.0), day=3)
        runs = [boat.run(4), boat.run(8)]
        boat.visit(set_to(5.0), day=10)
        words = {"title": "Strakes", "purpose": "drier", "permanence": "removable"}
        made = add_modification(session, boat.hull_id, words, at(2))
        plan = add_modification(session, boat.hull_id, words | {"title": "Wide tabs"}, at(2))
        bond = _step(session, made.id, action="bond", what="strip", mass_weighed_g=12.0)
        tick_step(session, bond, at(9).utc, rests_store)
        fit(session, made.id, FitFormData(at(11), frozenset(), ""), NOW, rests_store)
        runs.append(boat.run(12))
        other = make_boat(session, name="Medlar")
        state = state_by_number(session, boat.hull_id, 3).id
        return {
            "boat": boat.hull_id, "other": other.hull_id, "state": state, "fitted": made.id, "plan": plan.id,
            "step": bond, "early": runs[0].id, "between": runs[1].id, "late": runs[2].id,
        }  # fmt: skip


def _step(session, modification_id: int, **facts) -> int:
    form = {"count": 1, "adds_mass": True} | facts
    return add_step(session, modification_id, form, at(2)).id


def _json(client, address: str) -> dict:
    return client.get(f"{address}.json").json()


def _text(answer) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text))


def _save(client, address: str, **typed: str):
    """What the page promises, and the answer once it is saved."""
    ahead = client.get(f"{address}.json", params=typed | {"look": "yes"}).json()
    assert not ahead["stands_against"] and not ahead["wrong"], ahead
    done = client.post(address, data=typed | {"seen": ahead["ahead"]["mark"], "why": "the log says so"})
    assert done.status_code == 200
    promised = {
        thing["url"]: {line["what"]: line["new"] for line in thing["lines"]} for thing in ahead["ahead"]["things"]
    }
    return promised, done


def _take_back(client, done):
    answer = client.post(re.search(r'action="(/otherwise/done/\d+/back)"', done.text)[1])
    assert answer.status_code == 200


def _of_run(client, address: str) -> dict:
    """What is said of a run, and what was on the boat, without the number and the mark of its state."""
    run = _json(client, address)
    line = run["line"]
    state = _json(client, f"/hulls/{line['hull_id']}/states/{line['state_number']}")["state"]
    told = {name: value for name, value in line.items() if name not in ("state_number", "mark", "state", "moved")}
    return {"line": told, "boat": state["whole_fingerprint"], "made": state["made"], "waits": run["missing"]}


def test_a_visit_on_another_day_keeps_its_promise_and_is_taken_back(client, ids, tmp_path):
    runs = [f"/runs/{ids[name]}" for name in ("early", "between", "late")]
    before = [_json(client, one)["line"] for one in runs]
    stood = [_of_run(client, one) for one in runs]
    address = f"/otherwise/state/{ids['state']}/day"
    promised, done = _save(client, address, at="2026-04-06T10:00")
    after = [_json(client, one)["line"] for one in runs]
    for url, was, now in zip(runs, before, after, strict=True):
        told = promised.get(url, {}).get("build state", f"{was['state_number']}, {was['mark']}")
        assert told == f"{now['state_number']}, {now['mark']}"
    assert [line["state_number"] for line in after] == [2, 5, 6]
    history = promised[f"/hulls/{ids['boat']}/states"]
    assert history["6 April 2026, 10:00"].startswith("build state 5: Strut height set to 5")
    assert history["10 April 2026, 10:00"] == ""
    assert "Replaced by" in client.get(f"/hulls/{ids['boat']}/states/3").text
    _take_back(client, done)
    assert [_of_run(client, one) for one in runs] == stood
    assert check(tmp_path / "garage").is_good


def test_a_plan_goes_to_another_boat_and_back_and_one_that_was_fitted_says_why_not(client, ids):
    page = _text(client.get(f"/otherwise/modification/{ids['fitted']}/boat"))
    assert "It was fitted on Quince on 11 April 2026, in build state 4" in page
    _, done = _save(client, f"/otherwise/modification/{ids['plan']}/boat", hull=str(ids["other"]))
    moved = _json(client, f"/modifications/{ids['plan']}")
    assert moved["hull"] == "Medlar"
    assert [(one["what"], one["old"], one["new"]) for one in moved["mended"]] == [("boat", "Quince", "Medlar")]
    _take_back(client, done)
    assert _json(client, f"/modifications/{ids['plan']}")["hull"] == "Quince"


def test_what_a_modification_was_called_and_why_it_was_given_up_stay_readable(client, ids):
    page = f"/modifications/{ids['plan']}"
    client.post(page + "/edit", data={"title": "Wider tabs", "purpose": "faster", "permanence": "removable"})
    client.post(page + "/drop", data={"reason": "too heavy"})
    _, done = _save(client, f"/otherwise{page.replace('modifications', 'modification')}/not-dropped")
    told = {one["what"]: one["old"] for one in _json(client, page)["mended"]}
    assert told == {
        "title": "Wide tabs", "what it is for": "drier", "dropped on": "9 May 2026", "why it was dropped": "too heavy",
    }  # fmt: skip
    _take_back(client, done)
    assert _json(client, page)["dropped_reason"] == "too heavy"


def test_another_kind_of_step_reads_so_everywhere_and_moves_no_fingerprint(client, ids):
    state, rebuild = f"/hulls/{ids['boat']}/states/4", f"/runs/{ids['late']}/rebuild"
    before = _json(client, state)["state"]
    assert _json(client, f"/otherwise/step/{ids['step']}")["ways"][0]["url"] == f"/steps/{ids['step']}/mend"
    right = {"action": "cut", "what": "strip", "mass_weighed": "-7", "adds_mass": "yes", "why": "mixed them up"}
    assert client.post(f"/steps/{ids['step']}/mend", data=right).status_code == 200
    after = _json(client, state)["state"]
    assert after["whole_fingerprint"] == before["whole_fingerprint"] and after["mark"] == before["mark"]
    for sheet in (after, _json(client, rebuild)["state"], _json(client, f"/hulls/{ids['boat']}")["now"]):
        [line] = (sheet.get("content") or sheet)["fitted"]
        assert line["steps"] == ["cut strip (mended; there stood: bond strip)"] and line["mass"]["value"] == -7.0
    listed = _json(client, f"/hulls/{ids['boat']}/modifications")["rows"]
    assert next(row for row in listed if row["id"] == ids["fitted"])["mass"]["value"] == -7.0


@pytest.mark.parametrize("text", ["", "-5", "2099-01-01T10:00", "x" * 10_000])
def test_nonsense_is_said_and_writes_nothing(client, ids, text):
    before = _json(client, f"/hulls/{ids['boat']}/states")
    ways = [(f"state/{ids['state']}", name) for name in ("day", "boat", "forgotten")]
    ways += [(f"hull/{ids['boat']}", "forgotten"), (f"modification/{ids['plan']}", "boat"), ("step/1", "work")]
    for thing, name in ways:
        typed = dict.fromkeys(("at", "hull", "set_strut_height_single", "part_1", "fit_1", "damage_1"), text)
        address = f"/otherwise/{thing}/{name}"
        assert client.get(address, params=typed | {"look": "yes"}).status_code == 200
        answer = client.post(address, data=typed | {"why": text})
        assert answer.status_code == 422 and ('class="error' in answer.text or "caution" in answer.text)
    assert _json(client, f"/hulls/{ids['boat']}/states") == before
