"""What the room tells of build states and changes, for search and whatever is attached to them."""

import pytest
from sqlmodel import Session, select

from garage.drives.store import part_spec
from garage.drives.tables import Part
from garage.moments import Moment
from garage.own_fields.tables import OwnField
from garage.runs import rests_store
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes
from garage.states.tables import BuildState, Change, Supersession
from garage.states.things import CHANGE, STATE, THINGS
from tests.seeded import NOW, with_history
from tests.told_things import told


@pytest.fixture
def state(session: Session) -> BuildState:
    """A state of Quince that no run rests on, an hour east of Greenwich: the strut on the left set, a motor put in."""
    garage = with_history(session)
    motor = Part(code="M2", kind="motor", name="red can", kv_stated=1800, mass_g=310, created_at=NOW.utc)
    session.add(motor)
    session.flush()
    changes = [
        ChangeFormData("set", "left", setting="strut_height", detail={"value": 4.0}, note="by eye"),
        ChangeFormData("install", part_id=motor.id, detail=part_spec(motor)),
    ]
    make_changes(session, garage.hulls["Quince"], changes, Moment("2026-05-05T10:00:00Z", 60), NOW, rests_store)
    session.flush()
    found = session.exec(select(BuildState).order_by(BuildState.id.desc())).first()
    found.note = "after the winter"
    session.flush()
    return found


def test_a_state_is_found_until_a_later_one_stands_in_its_place(session, state):
    *_, last = told(session, STATE)
    page = f"/hulls/{state.hull_id}/states/{state.number}"
    assert last == {
        "title": f"Build state {state.number}, Quince", "called": f"build state {state.number} of Quince", "url": page,
        "place": page, "aside": 0, "in_use": 1, "at": "2026-05-05T10:00:00Z", "offset_min": 60,
        "found": f"build state {state.number}", "text": "after the winter",
    }  # fmt: skip
    session.add(Supersession(old_state_id=state.id, new_state_id=1, at=NOW.utc, why="put right"))
    session.flush()
    assert [one["url"] for one in told(session, STATE) if one["aside"]] == [page]
    assert {one["url"] for one in told(session, CHANGE) if one["aside"]} == {page}


def test_a_change_is_found_by_what_it_did_and_to_what(session, state):
    page, where = f"/hulls/{state.hull_id}/states/{state.number}", f"build state {state.number}, Quince"
    titles = {one["title"]: one for one in told(session, CHANGE)}
    one = titles[f"set strut height left, {where}"]
    assert (one["url"], one["at"], one["offset_min"], one["aside"]) == (page, "2026-05-05T10:00:00Z", 60, 0)
    assert one["found"] == "set strut height" and "by eye" in one["text"]
    assert "red can" in titles[f"install, {where}"]["text"]
    own = OwnField(thing="hull", name="own_wedge", label="Wedge", kind="number", created_at=NOW.utc)
    session.add(own)
    session.flush()
    row = session.exec(select(Change).where(Change.state_id == state.id, Change.setting == "strut_height")).one()
    row.setting, row.place = f"own_{own.id}", "single"
    session.flush()
    assert f"set Wedge, {where}" in {one["title"] for one in told(session, CHANGE)}
    assert (CHANGE.takes.thing, CHANGE.takes.title) == ("hull", "Hulls") and "it is a setting" in CHANGE.takes.note
    assert "Strut height" in CHANGE.takes.labels and CHANGE.takes.values.endswith("'own_' || :number")


def test_each_kind_has_its_span_of_rows_in_the_full_text_for_good():
    found = [(one.name, one.found.kind, one.found.number, one.found.heading) for one in THINGS]
    assert found == [("state", "state", 4, "Build states"), ("change", "change", 5, "Changes")]
