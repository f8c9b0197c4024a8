"""What nobody said stands in no run: no course, no speed, no figure in a unit that nobody typed."""

import pytest
from sqlmodel import Session, select

from garage.corrections.tables import Correction
from garage.db.engine import reading, writing
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs.entry.edit import speed_text
from garage.runs.entry.pick_store import pack_offer
from garage.runs.form_data import RunFormData, run_facts
from garage.runs.tables import Run
from garage.units import DisplayUnits, as_typed
from garage.waters.tables import Water
from tests.runs.conftest import AT, make_world
from tests.runs.test_not_known import edited
from tests.runs.test_run_form import first_run, form_of


@pytest.fixture
def ids(app):
    with writing(app.state.engine) as session:
        world = make_world(session)
        session.get(Water, world.water).course_m = 80.0
        ids = {"medlar": world.medlar, "quince": world.quince, "outing": world.outing, "edition": world.edition}
        return ids | world.packs


@pytest.fixture
def look(app):
    with reading(app.state.engine) as session:
        yield session


def newest(look: Session) -> Run:
    look.rollback()
    return look.exec(select(Run).order_by(Run.id.desc())).first()


@pytest.mark.parametrize(
    ("text", "bare", "kept"),
    [
        ("34.2", "mph", "34.2 mph"), ("34,2 knots", "km/h", "34,2 kn"), ("15 m/s", "mph", "15 m/s"),
        ("55", "km/h", ""), ("55 kph", "mph", ""),
    ],
)  # fmt: skip
def test_a_quantity_is_told_as_it_was_typed_where_it_is_kept_in_another_unit(text, bare, kept):
    assert as_typed(text, "speed", bare) == kept
    assert not kept or as_typed(kept, "speed", "km/h") == kept, "what is shown reads back as the same"


def test_a_speed_typed_in_km_h_is_shown_so_whatever_unit_is_preferred():
    mph = DisplayUnits.imperial()
    typed = [RunFormData(1, 1, run_facts(speed_kmh=kmh)) for kmh in (82.0, 55.0395648, None)]
    assert [speed_text(form, mph) for form in typed] == ["82 km/h", "34.2", ""]


def test_a_speed_stays_as_it_was_typed_through_form_units_and_evening(client, ids, look: Session):
    client.post("/runs/new", data=first_run(client, ids, speed="34.2 mph"))
    run = newest(look)
    assert (run.speed_typed, run.speed_kmh) == ("34.2 mph", pytest.approx(55.0395648))
    assert "34.2 mph as typed" in client.get(f"/runs/{run.id}").text
    form = form_of(client.get(f"/runs/{run.id}/edit").text)
    assert form["speed"] == "34.2 mph"
    client.post("/preferences/imperial")
    assert "Saved" in client.post(f"/runs/{run.id}/edit", data=form | {"note": "dry"}).text
    assert 'value="34.2 mph"' in client.get(f"/outings/{run.outing_id}/evening").text
    kept = newest(look)
    assert (kept.speed_typed, kept.speed_kmh, kept.note) == ("34.2 mph", run.speed_kmh, "dry")
    assert look.exec(select(Correction)).first() is None
    edited(client, run.id, speed="60 km/h")
    assert (newest(look).speed_typed, newest(look).speed_kmh) == ("", 60.0)


def test_a_course_is_offered_and_no_run_has_it_by_itself(client, ids, look: Session):
    client.post("/runs/new", data=first_run(client, ids, outing=str(ids["outing"])))
    assert newest(look).course_m is None
    page = client.get(f"/runs/new?hull={ids['medlar']}&outing={ids['outing']}")
    assert "as at this water: 80 m" in page.text and form_of(page.text)["course_here"] == ""
    client.post("/runs/new", data=form_of(page.text) | {"speed": "80", "pack": "", "course_here": "here"})
    assert newest(look).course_m == 80.0
    again = form_of(client.get(f"/runs/new?hull={ids['medlar']}&outing={ids['outing']}").text)
    assert again["course"] == "80" and again["speed"] == "", "taken over in sight, but never a speed"
    both = client.post("/runs/new", data=again | {"course": "50", "course_here": "here"})
    assert both.status_code == 422 and "which of the two?" in both.text
    elsewhere = {"outing": "", "new_water": "Sedge Pool", "way": "as last time", "course": "", "pack": ""}
    client.post("/runs/new", data=first_run(client, ids) | elsewhere)
    pool = newest(look)
    assert pool.course_m is None and pool.outing_id != ids["outing"]
    assert look.exec(select(Water).where(Water.name == "Sedge Pool")).one().course_m is None
    assert form_of_water(client) == "" and "Built or bought on" in client.get("/hulls/new").text
    assert client.get("/hulls/new.json").json()["values"].get("built_on", "") == ""


def form_of_water(client) -> str:
    return client.get("/waters/new.json").json()["values"].get("course", "")


def test_a_boat_built_later_is_put_right_in_the_same_save(client, ids, look: Session, app):
    with writing(app.state.engine) as session:
        session.get(Hull, ids["medlar"]).built_on = "2026-06-03"
    form = first_run(client, ids, outing=str(ids["outing"]))
    refused = client.post("/runs/new", data=form)
    assert refused.status_code == 422 and "is moved to then" in refused.text and 'name="built_then"' in refused.text
    assert client.post("/runs/new", data=form | {"built_then": "yes"}).status_code == 200
    assert newest(look).hull_id == ids["medlar"]
    hull = look.get(Hull, ids["medlar"])
    assert hull.built_on == "2026-05-09" and "moved from 3 June 2026 to 9 May 2026" in hull.notes


def test_the_only_pack_left_that_day_is_told_apart(world):
    for hour, pack in enumerate("JK", 10):
        assert pack_offer(world.session, world.medlar, 3, AT).only_left == ""
        world.run(pack, started=Moment(f"2026-05-09T{hour}:00:00Z", 0))
    assert pack_offer(world.session, world.medlar, 3, AT).only_left == str(world.packs["L"])
    assert pack_offer(world.session, world.medlar, 6, AT).only_left == "", "one that does not fit is none"
    world.run("L", started=Moment("2026-05-09T13:00:00Z", 0))
    assert pack_offer(world.session, world.medlar, 3, AT).only_left == ""
