"""Visits to the workshop that were otherwise: a boat's history is written anew from there on, and her runs follow."""

import json
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from sqlmodel import Session, select

from garage.db.in_ids import in_
from garage.errors import Conflict
from garage.mending.steps import Step, Visited
from garage.modifications.step_store import release_steps
from garage.modifications.visit_store import take_in
from garage.moments import Moment
from garage.runs.moves import Move
from garage.runs.rests_store import is_frozen
from garage.runs.tables import Run
from garage.states.fold import ChangeFormData, canonical
from garage.states.past import Written
from garage.states.query_store import changes_of, given_way, state
from garage.states.rewriting import Rewriting, Wish, as_it_stands
from garage.states.rewriting_store import NewState, line_of, rewriting_of, write_rewriting
from garage.states.tables import BuildState, Change
from garage.states.write_store import read_change

# What such a change says besides what was done is told anew by what it finds on the boat.
_FOUND_THERE = ("take off", "take out")
_BRINGS_STEPS = ("fit", "rework")
Told = Mapping[str, Any]


@dataclass(frozen=True)
class Turn:
    """One visit that was otherwise: the state that stands for it now, and as it should stand; None for nowhere."""

    visit: Visited
    old: Written | None
    wish: Wish | None


@dataclass(frozen=True)
class Going:
    """Where a run goes: from a state to a place in the new line of states, those that stay first. `by_hand` is one that
    a person put on another state than that of its time."""

    state_id: int
    place: int
    by_hand: bool


@dataclass(frozen=True)
class Plan:
    """What visits that were otherwise make of one boat's history."""

    hull_id: int
    turns: Sequence[Turn]
    rewriting: Rewriting
    runs: Mapping[int, Going]


def visit_told(
    made: Moment,
    changes: Iterable[ChangeFormData],
    note: str = "",
    of: Sequence[int | None] = (),
    note_of: int | None = None,
) -> dict[str, Any]:
    """A visit as a step keeps it: `of` are the changes, by id, from which its own stem, `note_of` the state from which
    its note does; what was mended in those is mended in it."""
    listed = list(changes)
    sources = list(of) or [None] * len(listed)
    return {
        "at": made.utc,
        "offset_min": made.offset_min,
        "note": note,
        "note_of": note_of,
        "changes": [
            {**vars(change), "detail": json.loads(canonical(dict(change.detail))), "of": source}
            for change, source in zip(listed, sources, strict=True)
        ],
    }


def visit_of_state(found: BuildState, rows: Sequence[Change]) -> dict[str, Any]:
    """The visit that made a state by these changes, as a step keeps it."""
    made = Moment(found.made_at, found.offset_min)
    return visit_told(made, map(read_change, rows), found.note, [row.id for row in rows], found.id)


def plans(session: Session, steps: Iterable[Step]) -> list[Plan]:
    """What the visits among some steps make of the boats' histories. Raises Conflict where they do not fit."""
    return [_plan(session, hull_id, visits) for hull_id, visits in _by_boat(steps)]


def _by_boat(steps: Iterable[Step]) -> list[tuple[int, list[Visited]]]:
    visits = [step for step in steps if isinstance(step, Visited)]
    return [(hull_id, list(of_boat)) for hull_id, of_boat in groupby(visits, key=lambda one: one.hull_id)]


def _plan(session: Session, hull_id: int, visits: Sequence[Visited]) -> Plan:
    line = line_of(session, hull_id)
    standing = {written.id: written for written in line}
    turns = [_turn(session, visit, standing) for visit in visits]
    instead = {turn.old.id: turn.wish for turn in turns if turn.old}
    stand = [instead.get(one.id, as_it_stands(one)) for one in line]
    wanted = [one for one in (*stand, *(turn.wish for turn in turns if not turn.old)) if one]
    plan = rewriting_of(session, line, sorted(wanted, key=lambda one: one.made.utc))
    return Plan(hull_id, turns, plan, _runs(session, line, plan, turns))


def _turn(session: Session, visit: Visited, standing: Mapping[int, Written]) -> Turn:
    old = standing[_stands_now(session, visit.state_id)] if visit.state_id is not None else None
    if old and visit.old and _signs(old.changes) != _signs(map(_change, visit.old["changes"])):
        raise Conflict(f"Build state {old.number} was changed since: look at it once more.")
    return Turn(visit, old, _wish(session, visit.new, old) if visit.new else None)


def _stands_now(session: Session, state_id: int) -> int:
    """The state that took the place of one, through all that gave way since. Raises Conflict if it was taken out."""
    while gone := given_way(session, [state_id]).get(state_id):
        found = state(session, state_id)
        if gone.new_state_id == found.parent_id:
            raise Conflict(f"Build state {found.number} was taken out of the history since.")
        state_id = gone.new_state_id
    return state_id


def _wish(session: Session, told: Told, old: Written | None) -> Wish:
    """The visit as it is told; what was mended in the state `old` that it takes the place of is mended in it."""
    changes = tuple(_change(one) for one in told["changes"])
    own = _sources(session, old) if old else {}
    sources = tuple(own.get(_sign(change), one["of"]) for change, one in zip(changes, told["changes"], strict=True))
    return Wish(
        Moment(told["at"], told["offset_min"]),
        told["note"],
        changes,
        old,
        sources,
        old.id if old else told["note_of"],
    )


def _sources(session: Session, old: Written) -> dict[str, int]:
    """The changes of a state, by what they say."""
    rows = changes_of(session, [old.id]).get(old.id, [])
    return {_sign(change): row.id for change, row in zip(old.changes, rows, strict=True)}


def _change(told: Told) -> ChangeFormData:
    return ChangeFormData(**{name: value for name, value in told.items() if name != "of"})


def _sign(change: ChangeFormData) -> str:
    """What was done, without what it found on the boat."""
    done = {} if change.kind in _FOUND_THERE else {name: one for name, one in change.detail.items() if name != "was"}
    return canonical({**vars(change), "detail": done})


def _signs(changes: Iterable[ChangeFormData]) -> list[str]:
    return [_sign(change) for change in changes]


def _runs(session: Session, line: Sequence[Written], plan: Rewriting, turns: Sequence[Turn]) -> dict[int, Going]:
    """Where runs go. One on the state of its time goes to the state of its time; one that a person put on another goes
    with what takes the place of that."""
    first = len(plan.kept)
    old_times, new_times = [one.made.utc for one in line], [one.made.utc for one in plan.kept]
    new_times += [one.wish.made.utc for one in plan.ahead]
    places = {old.id: _then(new_times, old.made.utc) for old in plan.gone}
    places |= {old.id: place for place, old in enumerate(plan.kept)}
    places |= {one.wish.old.id: place for place, one in enumerate(plan.ahead, first) if one.wish.old}
    by_wish = {id(one.wish): place for place, one in enumerate(plan.ahead, first)}
    put_there = {run_id: by_wish[id(turn.wish)] for turn in turns if turn.wish for run_id in turn.visit.runs}
    concerned = [*(one.id for one in plan.kept[-1:]), *(one.id for one in plan.gone)]
    found: dict[int, Going] = {}
    asked = select(Run.id, Run.state_id, Run.started_at).where(in_(Run.state_id, concerned))
    for run_id, state_id, started in session.exec(asked):
        assert run_id is not None
        by_hand = line[_then(old_times, started)].id != state_id
        place = put_there.get(run_id, places[state_id] if by_hand else _then(new_times, started))
        if place >= first or plan.kept[place].id != state_id:
            found[run_id] = Going(state_id, place, by_hand)
    return found


def _then(times: Sequence[str], utc: str) -> int:
    """The place of the last of `times` that is not later, or the first."""
    return max(bisect_right(times, utc) - 1, 0)


def write_histories(session: Session, steps: Sequence[Step], why: str, now: Moment) -> tuple[list[Step], list[Move]]:
    """Write the histories of boats anew where steps tell of visits: the steps as they were done, with all that the way
    back needs, and how runs are to be moved. Raises Conflict where it cannot be done."""
    done: list[Step] = []
    moves: list[Move] = []
    for hull_id, visits in _by_boat(steps):
        # Each boat is looked at once the one before is written: a part may go from one to the other.
        plan = _plan(session, hull_id, visits)
        written = write_rewriting(session, hull_id, plan.rewriting, why, now)
        ids = [one.id for one in plan.rewriting.kept] + [one.state.id for one in written]
        moves += [Move(run_id, "state", str(to.state_id), str(ids[to.place])) for run_id, to in plan.runs.items()]
        by_wish = {id(one.wish): one for one in written}
        done += [_done(session, plan, turn, by_wish.get(id(turn.wish))) for turn in plan.turns]
    return [*done, *(step for step in steps if not isinstance(step, Visited))], moves


def _done(session: Session, plan: Plan, turn: Turn, new: NewState | None) -> Visited:
    stood, rows = turn.old, changes_of(session, [turn.old.id]).get(turn.old.id, []) if turn.old else []
    old = visit_of_state(state(session, stood.id), rows) if stood else None
    told = visit_of_state(new.state, new.changes) if new else None
    _keep_steps(session, plan.hull_id, turn, rows, new.changes if new else [])
    by_hand = [run_id for run_id, to in plan.runs.items() if stood and to.by_hand and to.state_id == stood.id]
    return Visited(plan.hull_id, new.state.id if new else None, old, told, by_hand if new is None else ())


def _keep_steps(session: Session, hull_id: int, turn: Turn, rows: Sequence[Change], new: Sequence[Change]) -> None:
    """The steps of work that came onto the boat by a visit, or did not."""
    before, after = ({_sign(read_change(row)): row for row in listed} for listed in (rows, new))
    gone = [row.id for sign, row in before.items() if sign not in after and row.kind in _BRINGS_STEPS]
    if gone and turn.old and not is_frozen(session, hull_id, turn.old.number):
        release_steps(session, gone)
    take_in(session, [row for sign, row in after.items() if sign not in before])
