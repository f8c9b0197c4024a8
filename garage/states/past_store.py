"""What a forgotten change makes of a hull's history. Runs are moved by the room that keeps them."""

from collections.abc import Iterable, Sequence

from sqlmodel import Session

from garage.corrections.store import add_correction, corrections_of
from garage.errors import Conflict
from garage.hulls.store import hull
from garage.moments import Moment
from garage.states.change_store import completed, part_elsewhere
from garage.states.fold import EMPTY, ChangeFormData, DoesNotFit
from garage.states.mending_store import mended_values
from garage.states.past import BEGINNING, PUT_IN, PastPlan, Written, beginning, plan_past, plan_without
from garage.states.query_store import (
    changes_of,
    first_live_state,
    given_way,
    live_states_after,
    local_midnight,
    moment_of,
    state,
    state_at,
    state_by_number,
    state_content,
)
from garage.states.tables import BuildState, Change
from garage.states.wording import part_name
from garage.states.write_store import read_change, supersede, write_changes, write_state


def past_plan(session: Session, hull_id: int, forms: Sequence[ChangeFormData], at: Moment, note: str = "") -> PastPlan:
    """What putting `forms` in at `at` would lead to. Raises Conflict before the hull was built.

    Between that day and the first state, if the day was put right later, all states are written anew.
    """
    first = first_live_state(session, hull_id)
    base = state_at(session, hull_id, at.utc)
    if base is None or first is None:
        begun = f" on {moment_of(first).day()}" if first else ""
        raise Conflict(f"This hull’s history begins{begun}; a change cannot come before it.")
    later = written_states(session, live_states_after(session, hull_id, at.utc))
    before = written_states(session, [base])[0]
    if at.utc < first.made_at:
        before = beginning(local_midnight(hull(session, hull_id).built_on))
    try:
        forms, _ = completed(before.content, forms, mended_values(session, before.id))
        _refuse_parts_then_elsewhere(session, hull_id, forms, at)
    except DoesNotFit as error:
        return PastPlan(before, (), (f"On {at.day()}: {error}",))
    return plan_past(before, later, forms, at, note)


def _refuse_parts_then_elsewhere(session: Session, hull_id: int, forms: Sequence[ChangeFormData], at: Moment) -> None:
    """Raises DoesNotFit if a part to be installed was in another hull at that time."""
    for form in forms:
        if form.kind == "install" and form.part_id is not None:
            name = part_elsewhere(session, hull_id, form.part_id, at.utc)
            if name:
                raise DoesNotFit(f"{part_name(form.detail)} was in {name} at that time.")


def plan_of_withdrawal(session: Session, hull_id: int, number: int) -> PastPlan:
    """What taking a state out of a hull's history would lead to. Raises NotFound, Conflict."""
    found = state_by_number(session, hull_id, number)
    if found.parent_id is None:
        raise Conflict("A hull’s first build state stays: its history begins with it.")
    if found.id in given_way(session, [found.id]):
        raise Conflict(f"Build state {number} was replaced by another already.")
    base = state(session, found.parent_id)
    later = [row for row in live_states_after(session, hull_id, base.made_at) if row.number > number]
    written = written_states(session, [base, found, *later])
    return plan_without(written[0], written[1], written[2:])


def write_plan(session: Session, hull_id: int, plan: PastPlan, why: str, now: Moment) -> dict[int, int]:
    """Write the states of a plan: for each state that gave way the id of the one that runs go to, with what
    was put in as PUT_IN and the state before it by its id, or as BEGINNING.

    Raises Conflict if the plan has problems.
    """
    if plan.problems:
        raise Conflict(" ".join(plan.problems))
    instead: dict[int, int] = {}
    parent_id = plan.base.id
    if plan.withdrawn is not None:
        supersede(session, plan.withdrawn.id, plan.base.id, now, why)
        instead[plan.withdrawn.id] = plan.base.id
    if plan.begins_anew:
        first = write_state(session, hull_id, None, EMPTY, plan.base.made, now)
        instead[BEGINNING] = parent_id = first.id
    for planned in plan.states:
        new = write_state(session, hull_id, parent_id, planned.content, planned.made, now, planned.note)
        changes = write_changes(session, new.id, planned.changes, now)
        if planned.old is None:
            instead[PUT_IN] = new.id
        else:
            supersede(session, planned.old.id, new.id, now, why)
            _carry_corrections(session, planned.old.id, new.id, changes)
            instead[planned.old.id] = new.id
        parent_id = new.id
    return instead


def _carry_corrections(session: Session, old_id: int, new_id: int, changes: Sequence[Change]) -> None:
    """Mistakes mended in a state and its changes are mended in what takes their place."""
    old_changes = changes_of(session, [old_id]).get(old_id, [])
    pairs = [("state", old_id, new_id)]
    pairs += [("change", old.id, new.id) for old, new in zip(old_changes, changes, strict=True)]
    for owner, old_owner_id, new_owner_id in pairs:
        for row in corrections_of(session, owner, [old_owner_id]).get(old_owner_id, []):
            at = Moment(row.at, 0)
            add_correction(session, owner, new_owner_id, row.field, row.old, row.new, row.why, at)


def written_states(session: Session, found: Iterable[BuildState]) -> list[Written]:
    """Some states as they were written down, with the changes that made each."""
    rows = [(row.id, row) for row in found]
    changes = changes_of(session, [state_id for state_id, _ in rows])
    return [
        Written(
            state_id,
            row.number,
            moment_of(row),
            row.note,
            tuple(read_change(change) for change in changes.get(state_id, [])),
            state_content(row),
        )
        for state_id, row in rows
    ]
