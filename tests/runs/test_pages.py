"""Pages of outings, waters, runs, what to try next, and the pit sheet."""

import pytest
from sqlmodel import Session, select

from garage.corrections.tables import Correction
from garage.db.engine import reading, writing
from garage.moments import Moment
from garage.packs.tables import Pack, PackLog
from garage.runs import rests_store
from garage.runs.moves import packs_of_text
from garage.runs.service_due import due
from garage.runs.tables import Run, RunMove, RunPack, RunTemperature
from garage.states.store import ChangeFormData, make_changes
from garage.waters.tables import Outing, Water
from tests.runs.conftest import AT, make_world
from tests.runs.test_run_form import form_of


@pytest.fixture
def ids(app):
    with writing(app.state.engine) as session:
        world = make_world(session)
        run = world.run("J", started=Moment("2026-05-09T10:00:00Z", 0), duration_s=90.0, try_next="tabs up")
        found = {"run": run.id, "outing": world.outing, "water": world.water, "medlar": world.medlar}
        return found | {"edition": world.edition} | world.packs


@pytest.fixture
def look(app):
    with reading(app.state.engine) as session:
        yield session


@pytest.mark.parametrize(
    "address",
    [
        "/runs", "/runs?hull={medlar}", "/runs/new", "/runs/new?hull={medlar}&outing={outing}", "/runs/{run}",
        "/runs/{run}/edit", "/runs/try-next", "/outings", "/outings/new", "/outings/{outing}",
        "/outings/{outing}/edit", "/outings/{outing}/evening", "/waters", "/waters/new", "/waters/{water}",
        "/pit", "/pit?hull={medlar}",
    ],
)  # fmt: skip
def test_every_page_and_its_twin_answer(client, ids, address):
    url = address.format(**ids)
    assert client.get(url).status_code == 200
    path, _, query = url.partition("?")
    twin = client.get(f"{path}.json?{query}")
    assert twin.status_code == 200 and isinstance(twin.json(), dict)


@pytest.mark.parametrize("address", ["/runs", "/outings", "/waters", "/runs/try-next", "/pit", "/runs/new"])
def test_an_empty_garage_is_taught_and_not_an_error(client, address):
    assert client.get(address).status_code == 200


@pytest.mark.parametrize("address", ["/runs.csv", "/outings.csv", "/waters.csv", "/runs/try-next.csv"])
def test_lists_come_as_csv(client, ids, address):
    answer = client.get(address)
    assert answer.status_code == 200 and len(answer.text.splitlines()) == 2


@pytest.mark.parametrize("address", ["/runs/99", "/outings/99", "/outings/99/evening", "/waters/99", "/runs?hull=99"])
def test_what_is_not_there_is_not_found(client, address):
    assert client.get(address).status_code == 404


def edit_form(client, ids) -> dict[str, str]:
    return form_of(client.get(f"/runs/{ids['run']}/edit").text)


def test_saving_an_untouched_edit_form_changes_nothing(client, ids, look: Session):
    before = dict(look.exec(select(Run)).one())
    assert client.post(f"/runs/{ids['run']}/edit", data=edit_form(client, ids)).status_code == 200
    look.rollback()
    assert dict(look.exec(select(Run)).one()) == before
    assert look.exec(select(Correction)).first() is None


def test_filling_a_blank_is_free_and_changing_is_recorded(client, ids, look: Session):
    typed = edit_form(client, ids) | {"speed": "83", "full_throttle": "30", "why": "misread"}
    assert client.post(f"/runs/{ids['run']}/edit", data=typed).status_code == 200
    kept = look.exec(select(Correction)).one()
    assert (kept.field, kept.old, kept.new, kept.why) == ("speed_kmh", "82.0", "83.0", "misread")


def test_swapping_the_pack_moves_the_discharge_to_the_other_log(client, ids, look: Session):
    typed = edit_form(client, ids) | {"pack_code_1": "K", "why": "wrong pack written"}
    assert client.post(f"/runs/{ids['run']}/edit", data=typed).status_code == 200
    counted = {entry.pack_id: entry.set_aside_at is None for entry in look.exec(select(PackLog))}
    assert counted == {ids["J"]: False, ids["K"]: True}
    assert look.exec(select(RunPack)).one().pack_id == ids["K"]
    move = look.exec(select(RunMove)).one()
    assert [use.pack_id for text in (move.from_value, move.to_value) for use in packs_of_text(text)] == [
        ids["J"],
        ids["K"],
    ]
    assert "packs was <span" in client.get(f"/runs/{ids['run']}").text
    client.post(f"/runs/{ids['run']}/set-aside", data={"reason": "GPS fell off"})
    client.post(f"/runs/{ids['run']}/bring-back")
    look.rollback()
    assert {entry.pack_id: entry.set_aside_at is None for entry in look.exec(select(PackLog))} == counted


def test_readings_can_be_changed_and_what_stood_there_is_kept(client, ids, look: Session):
    url = f"/runs/{ids['run']}/edit"
    client.post(url, data=edit_form(client, ids) | {"t1_spot": "motor end bell", "t1_temperature": "49"})
    client.post(url, data=edit_form(client, ids) | {"t1_temperature": "51"})
    assert look.exec(select(Correction)).one().old == "motor end bell 49 °C"
    assert "34" in client.get(f"/runs/{ids['run']}").text


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("speed", "-1"), ("speed", "🚤"), ("speed", "1" * 10000), ("pack_code_1", "Zebra"), ("pack_code_1", ""),
        ("started", "2026-05-10T10:00"), ("started", "2027-01-01T10:00"), ("note", "x" * 10000),
        ("passes", "-2"),
        ("why", "y" * 10000),
    ],
)  # fmt: skip
def test_a_wrong_edit_is_answered_beside_the_field(client, ids, look: Session, field, text):
    answer = client.post(f"/runs/{ids['run']}/edit", data=edit_form(client, ids) | {field: text, "depth": "1.25"})
    assert answer.status_code == 422
    assert f'id="e-{field.removesuffix("_1")}"' in answer.text and 'value="1.25"' in answer.text
    assert look.exec(select(Run)).one().depth_m is None


def test_a_run_set_aside_needs_a_reason_counts_no_more_and_comes_back(client, ids, look: Session):
    url = f"/runs/{ids['run']}"
    assert client.post(f"{url}/set-aside", data={"reason": ""}).status_code == 422
    answer = client.post(f"{url}/set-aside", data={"reason": "GPS fell off"})
    assert "set aside: GPS fell off" in answer.text and "Take it back" in answer.text
    run = look.exec(select(Run)).one()
    assert run.set_aside_at and not run.waiting
    assert look.exec(select(PackLog)).one().set_aside_at
    client.post(f"{url}/bring-back")
    look.rollback()
    assert look.exec(select(Run)).one().set_aside_at is None and look.exec(select(PackLog)).one().set_aside_at is None


def test_what_is_missing_can_be_waved_away_and_asked_for_again(client, ids, look: Session):
    assert look.exec(select(Run)).one().waiting
    client.post(f"/runs/{ids['run']}/wave")
    look.rollback()
    assert not look.exec(select(Run)).one().waiting
    client.post(f"/outings/{ids['outing']}/ask-again")
    look.rollback()
    assert look.exec(select(Run)).one().waiting


def test_incidents_are_written_set_aside_and_brought_back(client, ids):
    url = f"/runs/{ids['run']}/incidents"
    assert client.post(url, data={"i1_kind": ""}).status_code == 422
    page = client.post(url, data={"i1_kind": "prop strike", "i1_damaged": "yes", "i1_spoiled": "yes"})
    assert "spoiled by prop strike" in page.text and f"/hulls/{ids['medlar']}/changes/new" in page.text
    page = client.post(f"{url}/1/set-aside")
    assert "spoiled by prop strike" not in page.text
    assert "spoiled by prop strike" in client.post(f"{url}/1/bring-back").text


def test_a_pin_moves_only_through_the_ledger_and_to_states_of_the_same_hull(client, ids, look: Session):
    url = f"/runs/{ids['run']}/pin"
    assert client.post(url, data={"state": "", "pin_why": ""}).status_code == 422
    assert client.post(url, data={"state": "77", "pin_why": "no such"}).status_code == 404
    assert look.exec(select(RunMove)).first() is None


def test_a_run_moves_to_another_state_of_its_boat_through_the_ledger(client, ids, app, look: Session):
    with writing(app.state.engine) as session:
        change = ChangeFormData("set", setting="receiver", detail={"value": "new"})
        state = make_changes(session, ids["medlar"], [change], AT, AT, rests_store)
        number = state.number
    typed = {"state": str(number), "pin_why": "changed before the run"}
    page = client.post(f"/runs/{ids['run']}/pin", data=typed)
    assert page.status_code == 200 and f"from state 1 to {number}: changed before the run" in page.text
    move = look.exec(select(RunMove)).one()
    assert look.exec(select(Run)).one().state_id == int(move.to_value) != int(move.from_value)


def test_an_outing_is_open_until_it_is_closed(client, ids, look: Session):
    url = f"/outings/{ids['outing']}"
    assert "Still open" in client.get(url).text
    page = client.post(f"{url}/close")
    assert "Closed." in page.text and "Take it back" in page.text
    assert "Still open" in client.post(f"{url}/reopen").text


def test_an_outing_with_runs_cannot_be_set_aside(client, ids, look: Session):
    assert client.post(f"/outings/{ids['outing']}/set-aside").status_code in (409, 422)
    assert look.exec(select(Outing)).one().set_aside_at is None


def test_an_outing_takes_a_new_water_by_its_name(client, look: Session):
    page = client.post("/outings/new", data={"new_water": "Sedge Pool", "air": "63 °F", "wind": "2,5", "gust": "4"})
    assert page.status_code == 200 and "Sedge Pool" in page.text
    outing = look.exec(select(Outing)).one()
    assert outing.air_c == pytest.approx(17.2, abs=0.05) and outing.started_at == AT.utc
    assert look.exec(select(Water)).one().course_m is None


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("air", "400"), ("air", "5 kg"), ("wind", "-1"), ("gust", "1"), ("wind_from", "700"),
        ("surface", "icy"),
        ("started", "2027-01-01T10:00"), ("notes", "x" * 10000), ("weed", "🌿" * 200), ("new_water", "Two"),
        ("water", "999"),
    ],
)  # fmt: skip
def test_a_wrong_outing_is_answered_beside_the_field(client, ids, look: Session, field, text):
    typed = {"water": str(ids["water"]), "wind": "2", "water_temperature": "14.5"} | {field: text}
    answer = client.post("/outings/new", data=typed)
    assert answer.status_code == 422 and f'id="e-{field}"' in answer.text and 'value="14.5"' in answer.text
    assert len(look.exec(select(Outing)).all()) == 1


def test_an_outing_stays_on_the_day_of_its_runs(client, ids, look: Session):
    typed = {"water": str(ids["water"]), "started": "2026-05-08T10:00"}
    answer = client.post(f"/outings/{ids['outing']}/edit", data=typed)
    assert answer.status_code == 422 and "Its first run was on 9 May 2026" in answer.text


def test_conditions_changed_are_kept_as_corrections(client, ids, look: Session):
    typed = {
        "water": str(ids["water"]),
        "started": "2026-05-09T09:00",
        "air": "19",
        "wind": "2",
        "why": "misread",
    }
    assert client.post(f"/outings/{ids['outing']}/edit", data=typed).status_code == 200
    assert [(one.field, one.old, one.new) for one in look.exec(select(Correction))] == [("air_c", "17.0", "19.0")]


@pytest.mark.parametrize(
    ("field", "text"),
    [("name", ""), ("name", "x" * 10000), ("name", "hollow mere"), ("speed_limit", "-5"), ("course", "0"),
     ("course", "1/0 m"), ("electric_allowed", "maybe"), ("hours", "🕘" * 200), ("notes", "n" * 10000)],
)  # fmt: skip
def test_a_wrong_water_is_answered_and_not_saved(client, ids, look: Session, field, text):
    answer = client.post("/waters/new", data={"name": "New", "notes": "keep me", field: text})
    assert answer.status_code == 422
    assert field == "notes" or "keep me" in answer.text
    assert len(look.exec(select(Water)).all()) == 1


def test_a_water_leaves_the_lists_and_comes_back(client, ids):
    assert "Hollow Mere" in client.get("/waters").text
    page = client.post(
        f"/waters/{ids['water']}/retire", data={"retired_on": "2026-05-09", "retired_how": "closed to boats"}
    )
    assert "Take it back" in page.text and 'href="/waters/1"' not in page.text
    assert 'href="/waters/1"' in client.post(f"/waters/{ids['water']}/return").text


def test_try_next_is_marked_done_and_undone(client, ids):
    assert "tabs up" in client.get("/runs/try-next").text
    page = client.post(f"/runs/{ids['run']}/try-next/done")
    assert "No ideas are waiting" in page.text
    assert "tabs up" in client.get("/runs/try-next?done=yes").text
    assert "No ideas are waiting" not in client.post(f"/runs/{ids['run']}/try-next/undo").text


def test_the_pit_sheet_has_the_packs_the_list_and_lines_to_fill(client, ids):
    client.post(f"/hulls/{ids['medlar']}/lists", data={"checklist": "launch", "text": "Failsafe tried"})
    page = client.get(f"/pit?hull={ids['medlar']}").text
    assert "Failsafe tried" in page and "breaking in (2 of 4)" in page and "P1 ed. 1" in page
    assert page.count('class="blank"') == 14


def test_runs_and_minutes_since_grease_are_counted(app, ids):
    with writing(app.state.engine) as session:
        grease = due(session, ids["medlar"], AT.utc)[0]
        assert (grease.kind, grease.runs, grease.minutes, grease.untimed, grease.due) == (
            "greased",
            1,
            1.5,
            0,
            False,
        )
        assert grease.text == "1 run and 2 min, and no grease is written before"


def test_every_reading_of_a_run_survives_an_edit_in_its_order(client, ids, look: Session):
    url = f"/runs/{ids['run']}/edit"
    for first in (1, 5):
        rows = {
            f"t{n}_{name}": text
            for n in range(first, first + 4)
            for name, text in (("spot", "other"), ("temperature", str(30 + n)), ("note", f"place {n}"))
        }
        assert client.post(url, data=edit_form(client, ids) | rows).status_code == 200
    assert client.post(url, data=edit_form(client, ids) | {"depth": "2"}).status_code == 200
    read = look.exec(select(RunTemperature).order_by(RunTemperature.position)).all()
    assert [(one.temperature_c, one.note) for one in read] == [(30 + n, f"place {n}") for n in range(1, 9)]
    assert look.exec(select(Correction)).first() is None
    assert "place 8" in client.get(f"/runs/{ids['run']}").text


def test_the_rules_of_a_water_stand_where_one_is_about_to_run(client, ids):
    rules = {"name": "Hollow Mere", "speed_limit": "50", "hours": "9 to 12", "electric_allowed": "ask first"}
    client.post(f"/waters/{ids['water']}", data=rules)
    for address in (f"/outings/{ids['outing']}", f"/runs/new?outing={ids['outing']}", "/pit"):
        page = client.get(address).text
        assert all(words in page for words in ("no faster than 50.0", "9 to 12", "ask first")), address


def test_the_pit_sheet_leaves_out_packs_that_do_not_fit(client, ids):
    with writing(client.app.state.engine) as session:
        session.add(Pack(code="Six", cells_s=6, capacity_mah=5000, created_at=AT.utc))
    page = client.get(f"/pit?hull={ids['medlar']}").text
    assert "K · 3S" in page and "Six" not in page
