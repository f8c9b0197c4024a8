"""Runs follow when the history of their boat is put right, each by one way only, and the ledger says so."""

import pytest
from sqlmodel import select

from garage.errors import Conflict
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs import reassign
from garage.runs.tables import Run, RunMove
from garage.states.past_store import past_plan, plan_of_withdrawal, write_plan
from garage.states.store import state_by_number, state_texts
from tests.states.boat import NOW, at, make_boat, set_to


@pytest.fixture
def boat(session):
    """Quince with states 1 (1 April), 2 (3 April) and 3 (10 April), and a run on each of six days."""
    boat = make_boat(session)
    for number, day in enumerate((3, 10)):
        for before in (range(2, 3), range(4, 9, 2))[number]:
            boat.run(before)
        boat.visit(set_to(float(day)), day=day)
    boat.run(11)
    boat.run(12)
    return boat


def _numbers(boat) -> dict[str, int]:
    """The state that the run of each day stands on."""
    boat.session.expire_all()
    runs = boat.session.exec(select(Run).order_by(Run.started_at)).all()
    numbers = state_texts(boat.session, [run.state_id for run in runs])
    return {run.started_at[8:10]: numbers[run.state_id][0] for run in runs}


def _state(boat, number: int):
    return state_by_number(boat.session, boat.hull_id, number)


def test_the_runs_stand_on_the_state_of_their_day(boat):
    assert _numbers(boat) == {"02": 1, "04": 2, "06": 2, "08": 2, "11": 3, "12": 3}


def test_a_change_put_in_takes_the_runs_since_then_and_those_of_what_gives_way(boat):
    plan = past_plan(boat.session, boat.hull_id, [set_to("S9", "servo")], at(6))
    assert [run.started_at[8:10] for run in reassign.affected_runs(boat.session, plan, limit=9)] == [
        "06",
        "08",
        "11",
        "12",
    ]
    assert [run.started_at[8:10] for run in reassign.affected_runs(boat.session, plan, limit=2)] == ["06", "08"]
    assert reassign.affected_count(boat.session, plan) == 4
    before = _numbers(boat)
    instead = write_plan(boat.session, boat.hull_id, plan, "forgotten", NOW)
    assert reassign.move_for_plan(boat.session, plan, instead, "forgotten", NOW) == 4
    assert before != _numbers(boat) == {"02": 1, "04": 2, "06": 4, "08": 4, "11": 5, "12": 5}
    moves = boat.session.exec(select(RunMove)).all()
    assert len(moves) == 4 and {(move.why, move.at) for move in moves} == {("forgotten", NOW.utc)}


def test_a_state_taken_out_hands_its_runs_to_the_one_before_and_later_ones_are_made_anew(boat):
    plan = plan_of_withdrawal(boat.session, boat.hull_id, 2)
    assert reassign.affected_count(boat.session, plan) == 5
    instead = write_plan(boat.session, boat.hull_id, plan, "never happened", NOW)
    assert reassign.move_for_plan(boat.session, plan, instead, "never happened", NOW) == 5
    assert _numbers(boat) == {"02": 1, "04": 1, "06": 1, "08": 1, "11": 4, "12": 4}


def test_a_change_before_all_that_is_written_begins_a_new_history(session):
    boat = make_boat(session, built_on="")
    boat.visit(set_to(3.0), day=10)
    for day in (11, 12):
        boat.run(day)
    session.get(Hull, boat.hull_id).built_on = "2026-03-01"
    session.flush()
    before = Moment("2026-03-05T10:00:00Z", 0)
    plan = past_plan(session, boat.hull_id, [set_to("S9", "servo")], before)
    assert plan.begins_anew and [one.old and one.old.number for one in plan.states] == [None, 1, 2]
    instead = write_plan(session, boat.hull_id, plan, "forgotten", NOW)
    assert reassign.move_for_plan(session, plan, instead, "forgotten", NOW) == 2
    # The bare boat is 3, with the servo 4; what she was in at first is 5, after the visit 6.
    assert _numbers(boat) == {"11": 6, "12": 6}


def test_a_move_goes_to_a_state_of_the_same_boat_that_stands_and_back_again(boat):
    session = boat.session
    run = session.exec(select(Run).order_by(Run.started_at)).first()
    old, target = run.state_id, _state(boat, 2)
    with pytest.raises(Conflict, match="never moved"):
        reassign.move_back(session, run.id, NOW)
    assert reassign.move_pins(session, [run.id], target.id, "slip", NOW) == 1
    # What stands there already does not move.
    assert reassign.move_pins(session, [run.id], target.id, "slip", NOW) == 0
    assert reassign.move_back(session, run.id, NOW) == old and _numbers(boat)["02"] == 1
    assert reassign.move_back(session, run.id, NOW) == target.id and _numbers(boat)["02"] == 2
    assert [move.why for move in session.exec(select(RunMove).order_by(RunMove.id))] == [
        "slip",
        "taken back",
        "taken back",
    ]
    other = make_boat(session, name="Medlar")
    foreign = other.visit(set_to(1.0), day=3)
    with pytest.raises(Conflict, match="its own hull"):
        reassign.move_pins(session, [run.id], foreign.id, "slip", NOW)
    gone = plan_of_withdrawal(session, boat.hull_id, 3)
    write_plan(session, boat.hull_id, gone, "x", NOW)
    with pytest.raises(Conflict, match="state 3 was replaced"):
        reassign.move_pins(session, [run.id], _state(boat, 3).id, "slip", NOW)
