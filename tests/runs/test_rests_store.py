"""What rests on build states: the answers that lower rooms are handed, beside what the database itself refuses."""

import pytest
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from garage.modifications.fitting import fit
from garage.modifications.forms import FitFormData
from garage.modifications.step_store import add_step
from garage.modifications.store import add_modification
from garage.runs import rests_store
from garage.runs.rests_store import frozen_steps, is_frozen, last_run_utc
from tests.states.boat import NOW, at, make_boat, set_to


def test_a_state_and_all_before_it_are_frozen_by_a_run_and_those_after_are_not(session):
    boat = make_boat(session)
    numbers = [boat.visit(set_to(float(day)), day=day).number for day in (2, 4, 6)]
    assert not any(is_frozen(session, boat.hull_id, number) for number in numbers)
    boat.run(5)
    assert [is_frozen(session, boat.hull_id, number) for number in numbers] == [True, True, False]


def test_another_hulls_runs_freeze_nothing(session):
    boat, other = make_boat(session), make_boat(session, name="Medlar")
    state = boat.visit(set_to(4.0), day=2)
    other.run(5)
    assert not is_frozen(session, boat.hull_id, state.number)
    assert last_run_utc(session, boat.hull_id) == ""


def test_the_latest_run_is_the_one_that_started_last(session):
    boat = make_boat(session)
    for day in (5, 9, 7):
        boat.run(day)
    assert last_run_utc(session, boat.hull_id) == at(9, 12).utc


def test_steps_are_frozen_with_the_change_that_took_them_in_and_the_database_agrees(session: Session):
    boat = make_boat(session)
    work = {"title": "Trim tabs", "permanence": "removable"}
    early, late = (add_modification(session, boat.hull_id, work, at(1)) for _ in range(2))
    done = {"action": "cut", "done_at": at(1, 12).utc}
    steps = [add_step(session, one.id, done, at(1)) for one in (early, early, late)]
    steps.append(add_step(session, early.id, {"action": "sand"}, at(1)))
    fit(session, early.id, FitFormData(at(2), frozenset(), ""), NOW, rests_store)
    boat.run(3)
    fit(session, late.id, FitFormData(at(4), frozenset(), ""), NOW, rests_store)
    assert frozen_steps(session, [early.id, late.id]) == {steps[0].id, steps[1].id}
    assert frozen_steps(session, [late.id]) == frozen_steps(session, []) == set()
    for step in steps:
        rests_on_it = step.id in frozen_steps(session, [step.modification_id])
        with session.begin_nested() as nested:
            step.note = "written anew"
            if rests_on_it:
                with pytest.raises(IntegrityError):
                    session.flush()
                nested.rollback()
            else:
                session.flush()
