"""Moving runs from one build state to another, through the ledger: the only way the database lets it be."""

from collections.abc import Mapping

from sqlalchemy import ColumnElement, String, cast, func, insert, literal, update
from sqlalchemy import select as sql_select
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.errors import Conflict
from garage.moments import Moment
from garage.runs.tables import Run, RunMove
from garage.states.past import BEGINNING, PUT_IN, PastPlan
from garage.states.store import given_way, state


def move_pins(session: Session, run_ids: list[int], to_state_id: int, why: str, now: Moment) -> int:
    """Move some runs to another state of their own hull; how many moved. Raises NotFound, Conflict."""
    target = state(session, to_state_id)
    if to_state_id in given_way(session, [to_state_id]):
        raise Conflict(f"Build state {target.number} was replaced by another: choose that one.")
    chosen: list[ColumnElement[bool]] = [in_(Run.id, run_ids), col(Run.state_id) != to_state_id]
    foreign = session.exec(select(Run.id).where(*chosen, Run.hull_id != target.hull_id).limit(1)).first()
    if foreign is not None:
        raise Conflict("A run can only move to a build state of its own hull.")
    return _move(session, chosen, to_state_id, why, now)


def move_back(session: Session, run_id: int, now: Moment) -> int:
    """Move a run back to where its last move took it from; the ledger keeps both. The state's id.

    Raises NotFound, and Conflict if it was never moved or that state gave way since.
    """
    moves = select(RunMove.from_value).where(RunMove.run_id == run_id, RunMove.what == "state")
    last = session.exec(moves.order_by(col(RunMove.id).desc()).limit(1)).first()
    if last is None:
        raise Conflict("This run was never moved.")
    move_pins(session, [run_id], int(last), "taken back", now)
    return int(last)


def runs_to_move(plan: PastPlan) -> ColumnElement[bool]:
    """Which runs a plan would move: all on states that give way, and those on its base since the change."""
    gone = [planned.old.id for planned in plan.states if planned.old is not None]
    if plan.withdrawn is not None:
        return col(Run.state_id).in_([*gone, plan.withdrawn.id])
    if plan.begins_anew:
        return col(Run.state_id).in_(gone)
    since = plan.states[0].made.utc if plan.states else "9999"
    on_base = (col(Run.state_id) == plan.base.id) & (col(Run.started_at) >= since)
    return col(Run.state_id).in_(gone) | on_base


def affected_runs(session: Session, plan: PastPlan, *, limit: int) -> list[Run]:
    """The runs that a plan would move, oldest first, at most `limit`."""
    return list(
        session.exec(select(Run).where(runs_to_move(plan)).order_by(col(Run.started_at), col(Run.id)).limit(limit))
    )


def affected_count(session: Session, plan: PastPlan) -> int:
    """How many runs a plan would move."""
    return session.exec(select(func.count(col(Run.id))).where(runs_to_move(plan))).one()


def move_for_plan(session: Session, plan: PastPlan, instead: Mapping[int, int], why: str, now: Moment) -> int:
    """Move every run that a written plan concerns to the state that stands `instead`; how many moved."""
    concerned = runs_to_move(plan)
    # The conditions speak of where runs are now, so they are asked before any of them moves.
    ids = {
        new_id: [found or 0 for found in session.exec(select(Run.id).where(concerned, stands))]
        for stands, new_id in _ways(plan, instead)
    }
    return sum(_move(session, [in_(Run.id, run_ids)], new_id, why, now) for new_id, run_ids in ids.items() if run_ids)


def _ways(plan: PastPlan, instead: Mapping[int, int]) -> list[tuple[ColumnElement[bool], int]]:
    """Which runs go to which state of a written plan, each run by one way only."""
    ways = [(col(Run.state_id) == old_id, new_id) for old_id, new_id in instead.items() if old_id > 0]
    if PUT_IN not in instead:
        return ways
    if not plan.begins_anew:
        return [*ways, (col(Run.state_id) == plan.base.id, instead[PUT_IN])]
    # Until now the first state stood for all the time since she was built.
    old_first, since = plan.states[1].old, plan.states[0].made.utc
    assert old_first is not None
    started, on_first = col(Run.started_at), col(Run.state_id) == old_first.id
    ways = [(stands, to) for stands, to in ways if to != instead[old_first.id]]
    return [
        *ways,
        (on_first & (started < since), instead[BEGINNING]),
        (on_first & (started >= since) & (started < old_first.made.utc), instead[PUT_IN]),
        (on_first & (started >= old_first.made.utc), instead[old_first.id]),
    ]


def _move(session: Session, chosen: list[ColumnElement[bool]], to_state_id: int, why: str, now: Moment) -> int:
    columns = ["run_id", "what", "from_value", "to_value", "at", "why"]
    stood = cast(col(Run.state_id), String)
    values = (col(Run.id), literal("state"), stood, literal(str(to_state_id)), literal(now.utc), literal(why))
    rows = sql_select(*values).where(*chosen)
    moved = session.connection().execute(insert(RunMove).from_select(columns, rows))
    session.connection().execute(update(Run).where(*chosen).values(state_id=to_state_id))
    for row in [row for row in session.identity_map.values() if isinstance(row, Run)]:
        session.expire(row)
    return moved.rowcount
