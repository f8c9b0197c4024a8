"""A forgotten change put in at its date, or taken out again: new states, with the runs moved to them."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.modifications.visit_store import take_in
from garage.moments import Moment
from garage.runs.reassign import move_for_plan
from garage.states.fold import ChangeFormData
from garage.states.past import PUT_IN, PastPlan
from garage.states.past_store import past_plan, plan_of_withdrawal, write_plan
from garage.states.query_store import changes_of


@dataclass(frozen=True)
class Rewriting:
    """What was written: the id of the state that now stands at that time, and how many runs moved."""

    state_id: int
    states: int
    runs: int


def insert_in_past(
    session: Session,
    hull_id: int,
    forms: Sequence[ChangeFormData],
    at: Moment,
    why: str,
    now: Moment,
    note: str = "",
) -> Rewriting:
    """Put `forms` into a hull's history at `at`. Raises Conflict if a later change would not fit."""
    plan = past_plan(session, hull_id, forms, at, note)
    written = _write(session, hull_id, plan, PUT_IN, why, now)
    take_in(session, changes_of(session, [written.state_id]).get(written.state_id, []))
    return written


def withdraw_from_past(session: Session, hull_id: int, number: int, why: str, now: Moment) -> Rewriting:
    """Take a state out of a hull's history, as if it had not been made. Raises NotFound, Conflict."""
    plan = plan_of_withdrawal(session, hull_id, number)
    assert plan.withdrawn is not None
    return _write(session, hull_id, plan, plan.withdrawn.id, why, now)


def _write(session: Session, hull_id: int, plan: PastPlan, about_id: int, why: str, now: Moment) -> Rewriting:
    instead = write_plan(session, hull_id, plan, why, now)
    runs = move_for_plan(session, plan, instead, why, now)
    return Rewriting(instead[about_id], len(plan.states), runs)
