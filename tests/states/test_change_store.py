"""Visits to the workshop: which make a new state, which join one, and what taking back leaves."""

import pytest

from garage.errors import Conflict
from garage.hulls.store import hull
from garage.modifications.step_store import release_steps
from garage.runs import rests_store
from garage.states.fold import EMPTY, fingerprint
from garage.states.store import (
    ChangeFormData,
    InThePast,
    current_state,
    ensure_first_state,
    fingerprints_of,
    given_way,
    make_visit,
    short,
    state_at,
    state_by_number,
    state_content,
    states,
    states_with_fingerprint,
    take_back,
)
from garage.states.tables import BuildState
from tests.states.boat import NOW, at, install, make_boat, set_to


@pytest.fixture
def boat(session):
    return make_boat(session)


def test_the_first_state_is_empty_and_begins_on_the_day_she_was_built(boat):
    first = ensure_first_state(boat.session, hull(boat.session, boat.hull_id), NOW)
    assert (first.number, first.made_at[:10]) in {(1, "2026-04-01"), (1, "2026-03-31")}
    assert state_content(first) == EMPTY and first.fingerprint == fingerprint(EMPTY)
    assert ensure_first_state(boat.session, hull(boat.session, boat.hull_id), NOW).id == first.id


def test_several_changes_of_one_visit_make_one_state(boat):
    made = boat.visit(set_to(3.0), set_to(1.0, "strut_angle"), install(boat.part("M1")), day=3)
    assert made.number == 2
    assert len(state_content(made).settings) == 2 and len(state_content(made).parts) == 1


def test_a_visit_of_the_same_day_joins_the_state_while_no_run_rests_on_it(boat):
    first, second = boat.visit(set_to(3.0), day=3, hour=9), boat.visit(set_to(4.0), day=3, hour=11)
    assert second.id == first.id
    assert state_content(second).settings["strut_height@single"] == 4.0
    assert boat.visit(set_to(5.0), day=4).number == second.number + 1


def test_a_visit_after_a_run_makes_the_next_state_even_on_the_same_day(boat):
    made = boat.visit(set_to(3.0), day=3, hour=9)
    run = boat.run(3, hour=10)
    after = boat.visit(set_to(4.0), day=3, hour=11)
    assert (run.state_id, after.number) == (made.id, made.number + 1)


def test_every_fingerprint_a_state_ever_had_leads_to_it(boat):
    marks = [boat.visit(set_to(height), day=3, hour=9 + n).fingerprint for n, height in enumerate((3.0, 4.0))]
    found = {state.id for mark in marks for state in states_with_fingerprint(boat.session, short(mark))}
    assert found == {current_state(boat.session, boat.hull_id).id}
    assert [row.fingerprint for row in fingerprints_of(boat.session, found.pop())] == marks


@pytest.mark.parametrize("typed", ["", "zz", "%", "' OR 1=1", "e\u0301", "0" * 200])
def test_text_that_is_no_fingerprint_finds_nothing(boat, typed):
    boat.visit(set_to(3.0), day=3)
    assert states_with_fingerprint(boat.session, typed) == []


def test_what_the_boat_was_in_at_a_time_follows_the_visits(boat):
    early, late = boat.visit(set_to(3.0), day=3), boat.visit(set_to(4.0), day=5)
    assert state_at(boat.session, boat.hull_id, at(4).utc).id == early.id
    assert state_at(boat.session, boat.hull_id, at(5).utc).id == late.id
    assert state_at(boat.session, boat.hull_id, "2020-01-01T00:00:00Z") is None


def test_a_visit_before_something_written_down_is_not_slipped_in(boat):
    boat.visit(set_to(3.0), day=5)
    with pytest.raises(InThePast, match="Build state 2"):
        boat.visit(set_to(2.0), day=4)
    boat.run(6)
    with pytest.raises(InThePast, match="A run of 6 April"):
        boat.visit(set_to(2.0), day=5, hour=20)


def test_a_change_that_does_not_fit_changes_nothing(boat):
    boat.visit(install(boat.part("M1")), day=3)
    with pytest.raises(Conflict, match="take it out first"):
        boat.visit(set_to(9.0), install(boat.part("M2")), day=4)
    assert "strut_height@single" not in state_content(current_state(boat.session, boat.hull_id)).settings


def test_a_part_that_is_in_another_boat_is_not_installed(boat, session):
    other = make_boat(session, name="Medlar")
    motor = boat.part("M1")
    boat.visit(install(motor), day=3)
    with pytest.raises(Conflict, match="Quince: take it out there"):
        other.visit(install(motor), day=4)
    boat.visit(ChangeFormData("take out", part_id=motor), day=5)
    assert other.visit(install(motor), day=6).number == 2


def test_taking_back_the_last_visit_leaves_the_state_before_and_keeps_its_number(boat):
    before = boat.visit(set_to(3.0), day=3)
    gone = boat.visit(set_to(4.0), day=4)
    assert take_back(boat.session, boat.hull_id, gone.number, 0, NOW, rests_store, release_steps).id == before.id
    assert current_state(boat.session, boat.hull_id).id == before.id
    assert given_way(boat.session, [gone.id])[gone.id].new_state_id == before.id
    assert boat.visit(set_to(5.0), day=5).number == gone.number + 1
    assert states_with_fingerprint(boat.session, gone.fingerprint)[0].id == gone.id


def test_taking_back_a_visit_that_joined_restores_what_the_first_one_left(boat):
    first = boat.visit(set_to(3.0), day=3, hour=9)
    mark = first.fingerprint
    visit = make_visit(boat.session, boat.hull_id, [set_to(4.0)], at(3, 11), at(3, 11), rests_store)
    back = take_back(
        boat.session, boat.hull_id, visit.state.number, visit.first_position, NOW, rests_store, release_steps
    )
    assert back.id == first.id and back.fingerprint == mark


def test_nothing_is_taken_back_once_a_run_rests_on_it(boat):
    made = boat.visit(set_to(3.0), day=3)
    boat.run(4)
    with pytest.raises(Conflict, match="A run rests"):
        take_back(boat.session, boat.hull_id, made.number, 0, NOW, rests_store, release_steps)


def test_only_the_current_state_is_taken_back(boat):
    made = boat.visit(set_to(3.0), day=3)
    boat.visit(set_to(4.0), day=4)
    with pytest.raises(Conflict, match="not the current one"):
        take_back(boat.session, boat.hull_id, made.number, 0, NOW, rests_store, release_steps)


def test_states_are_listed_newest_first(boat):
    boat.visit(set_to(3.0), day=3)
    boat.visit(set_to(4.0), day=4)
    assert [row.number for row in states(boat.session, boat.hull_id, limit=2)] == [3, 2]
    assert isinstance(state_by_number(boat.session, boat.hull_id, 1), BuildState)
