"""The rebuild sheet holds all it takes to build the boat of a run again, and says how she differs now."""

import pytest
from sqlmodel import select

from garage.corrections.store import add_correction
from garage.props.tables import PropEdition
from garage.runs import rests_store
from garage.runs.tables import Run, RunTemperature
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes
from garage.states.tables import BuildState
from tests.seeded import NOW, Garage, at, with_history


@pytest.fixture
def garage(session) -> Garage:
    return with_history(session)


def run_of(session, speed: float) -> Run:
    return session.exec(select(Run).where(Run.speed_kmh == speed)).one()


def test_it_holds_state_prop_pack_conditions_service_and_fingerprint(client, session, garage):
    run = run_of(session, 83.4)
    state = session.get(BuildState, run.state_id)
    session.add(RunTemperature(run_id=run.id, position=0, spot="motor end bell", temperature_c=44, seconds_after=40))
    session.commit()
    sheet = client.get(f"/runs/{run.id}/rebuild.json").json()
    assert sheet["state"]["whole_fingerprint"] == state.fingerprint
    assert [line["title"] for line in sheet["state"]["content"]["fitted"]] == ["Trim tabs"]
    assert sheet["props"][0]["code"] == "P1" and sheet["props"][0]["edition"]["pitch"]["value"] == 66
    assert sheet["packs"][0]["standing"].startswith("broken in")
    assert "air 14 °C" in sheet["conditions"] and "surface glass" in sheet["conditions"]
    assert sheet["service"] and "grease" in sheet["service"][0]
    assert sheet["temperatures"][0]["rise"]["value"] == 30
    page = client.get(f"/runs/{run.id}/rebuild").text
    for words in (
        state.mark,
        "Trim tabs",
        "12 mm" if "12 mm" in page else "12",
        "lead out of the left sponson",
    ):
        assert words in page


def test_the_pack_stands_as_it_stood_then_not_as_now(client, session, garage):
    run = run_of(session, 79.1)
    for number in range(5):
        garage.run(garage.outings[1], at("04-12", f"15:{number}0"), pack="K", speed_kmh=78)
    session.commit()
    sheet = client.get(f"/runs/{run.id}/rebuild.json").json()
    assert "breaking in" in sheet["packs"][0]["standing"]
    assert any("K was breaking in" in words for words in sheet["since"])


@pytest.mark.parametrize(
    "runs, said", [(0, "1 more discharge since, that of"), (1, "2 more discharges since, this run’s own")]
)
def test_of_one_discharge_since_it_is_said_that_it_is_of_this_run(client, session, garage, runs, said):
    run = garage.run(garage.outings[1], at("04-12", "14:00"), pack="K", speed_kmh=77)
    for number in range(runs):
        garage.run(garage.outings[1], at("04-12", f"15:{number}0"), pack="K", speed_kmh=78)
    session.commit()
    assert any(said in words for words in client.get(f"/runs/{run.id}/rebuild.json").json()["since"])


def test_what_is_different_now_is_told_and_nothing_when_nothing_is(client, session, garage):
    run, latest = run_of(session, 80.2), run_of(session, 83.4)
    make_changes(
        session,
        garage.hulls["Medlar"],
        [ChangeFormData("set", setting="strut_height", detail={"value": 9.5})],
        at("04-20"),
        NOW,
        rests_store,
    )
    session.add(
        PropEdition(
            prop_id=1,
            number=2,
            reworks="cupped",
            diameter_mm=44,
            pitch_mm=68,
            made_at=NOW.utc,
            created_at=NOW.utc,
        )
    )
    session.commit()
    sheet = client.get(f"/runs/{run.id}/rebuild.json").json()
    assert {line["what"] for line in sheet["different"]} == {"Trim tabs", "Strut height"}
    assert "Prop P1 was edition 1 then; it is edition 2 now." in sheet["since"]
    assert "different" in client.get(f"/runs/{latest.id}/rebuild").text
    make_changes(
        session,
        garage.hulls["Medlar"],
        [ChangeFormData("set", setting="strut_height", detail={"value": 12.0})],
        at("04-21"),
        NOW,
        rests_store,
    )
    session.commit()
    assert client.get(f"/runs/{latest.id}/rebuild.json").json()["different"] == []


def test_slips_mended_in_the_run_are_told(client, session, garage):
    run = run_of(session, 80.2)
    add_correction(session, "run", run.id, "speed_kmh", "82.0", "80.2", "misread", NOW)
    session.commit()
    assert "misread" in client.get(f"/runs/{run.id}/rebuild").text


def test_a_run_that_is_not_there_is_not_found(client):
    assert client.get("/runs/99/rebuild").status_code == 404
