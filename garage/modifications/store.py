"""Queries and writes of modifications. How one stands follows from its hull's changes and its steps."""

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, exists, func, select

from garage.corrections.store import add_corrections
from garage.db.in_ids import in_, rows_by_ids
from garage.errors import Conflict, NotFound
from garage.fields.definition import FormData, is_open
from garage.modifications.fields import STEP_FIELDS
from garage.modifications.step_mass import MassTotal, computed_mass_g, total_mass
from garage.modifications.step_store import steps_of_several
from garage.modifications.tables import Modification, Step
from garage.moments import Moment
from garage.states.tables import BuildState, Change, Supersession

_STATUS_OF_CHANGE = {"fit": "fitted", "rework": "fitted", "take off": "taken off"}
# What a change keeps of a step, so that the state can be read without the step: all but the work itself.
_KEPT_OF_A_STEP = tuple(field for field in STEP_FIELDS if field.asked != "when")
_MOST_CHANGES = 200


def modification(session: Session, modification_id: int) -> Modification:
    """One modification. Raises NotFound."""
    found = session.get(Modification, modification_id)
    if found is None:
        raise NotFound("There is no such modification in this notebook.")
    return found


def modifications_by_ids(session: Session, ids: Iterable[int]) -> dict[int, Modification]:
    """Some modifications."""
    return rows_by_ids(session, Modification, ids)


def modifications_of(session: Session, hull_id: int, *, limit: int = 50, offset: int = 0) -> list[Modification]:
    """The modifications of a hull, latest first."""
    rows = select(Modification).where(Modification.hull_id == hull_id).order_by(col(Modification.id).desc())
    return list(session.exec(rows.limit(limit).offset(offset)))


def work_under_way(session: Session, *, limit: int) -> list[Modification]:
    """Modifications with steps that were done and have not come onto the boat yet, latest first."""
    open_work = select(Step.modification_id).where(
        col(Step.in_change_id).is_(None), col(Step.done_at).is_not(None), col(Step.set_aside_at).is_(None)
    )
    rows = select(Modification).where(col(Modification.dropped_at).is_(None), col(Modification.id).in_(open_work))
    return list(session.exec(rows.order_by(col(Modification.id).desc()).limit(limit)))


def not_fitted_yet(session: Session, *, limit: int) -> list[Modification]:
    """Modifications planned or under way that were never fitted, latest first."""
    rows = select(Modification).where(_is_not_fitted()).order_by(col(Modification.id).desc())
    return list(session.exec(rows.limit(limit)))


def planned_and_others(
    session: Session, hull_id: int, also: Collection[int], *, limit: int
) -> tuple[list[Modification], list[Modification], dict[int, tuple[int, int]]]:
    """The same of one hull, some others by their ids, and of all these the steps done and steps in all."""
    latest = select(Modification.id).where(_is_not_fitted(), Modification.hull_id == hull_id)
    is_planned = col(Modification.id).in_(latest.order_by(col(Modification.id).desc()).limit(limit))
    of_row = (Step.modification_id == Modification.id, col(Step.set_aside_at).is_(None))
    done, count = (
        select(func.count(counted)).where(*of_row).correlate(Modification).scalar_subquery()
        for counted in (col(Step.done_at), col(Step.id))
    )
    rows = session.exec(
        select(Modification, is_planned, done, count)
        .where(is_planned | in_(Modification.id, also))
        .order_by(col(Modification.id).desc())
    ).all()
    return (
        [row for row, planned, *_ in rows if planned],
        [row for row, *_ in rows if row.id in also],
        {row.id: (done, count) for row, _, done, count in rows},
    )


def _is_not_fitted() -> ColumnElement[bool]:
    was_changed = exists().where(col(Change.modification_id) == Modification.id)
    return col(Modification.dropped_at).is_(None) & ~was_changed


def status(session: Session, ids: Iterable[int]) -> dict[int, str]:
    """How some modifications stand: planned, under way, fitted, taken off or dropped."""
    return status_of(session, list(modifications_by_ids(session, ids).values()))


def status_of(
    session: Session, rows: Sequence[Modification], counts: Mapping[int, tuple[int, int]] | None = None
) -> dict[int, str]:
    """The same for modifications that were read; `counts` are those of their steps, where they were."""
    if not rows:
        return {}
    wanted = [row.id for row in rows]
    begun = _begun(session, wanted) if counts is None else {one for one, (done, _) in counts.items() if done}
    return stand(rows, changes_in_order(session, wanted), begun)


def _begun(session: Session, ids: Sequence[int]) -> set[int]:
    """Which of some modifications have a step that was done."""
    return set(
        session.exec(
            select(Step.modification_id)
            .where(
                col(Step.modification_id).in_(ids),
                col(Step.done_at).is_not(None),
                col(Step.set_aside_at).is_(None),
            )
            .distinct()
        )
    )


def stand(rows: Sequence[Modification], changes: Iterable[Change], begun: Collection[int]) -> dict[int, str]:
    """How modifications stand, by their changes in the order of the history and which of them were begun."""
    found: dict[int, str] = {}
    for change in changes:
        if change.kind in _STATUS_OF_CHANGE and change.modification_id is not None:
            found[change.modification_id] = _STATUS_OF_CHANGE[change.kind]
    for row in rows:
        if row.dropped_at is not None and found.get(row.id) != "fitted":
            found[row.id] = "dropped"
        found.setdefault(row.id, "under way" if row.id in begun else "planned")
    return found


def changes_of(session: Session, modification_id: int) -> list[tuple[Change, BuildState]]:
    """The changes that a modification came onto the boat by, or left it, in order, with their states."""
    rows = session.exec(
        select(Change, BuildState)
        .join(BuildState, col(BuildState.id) == Change.state_id)
        .where(Change.modification_id == modification_id, ~_superseded())
        .order_by(col(BuildState.made_at), col(BuildState.number), col(Change.position))
        .limit(_MOST_CHANGES)
    )
    return list(rows)


def detail_of(modification: Modification, rows: Sequence[Step]) -> dict[str, Any]:
    """What a change that fits or reworks `modification` keeps of it: of its steps in order those done so far, with
    their mass.

    Steps are taken as first written: a slip mended later lies over the state and is no change of the boat.
    """
    done = [row for row in rows if row.done_at is not None]
    total = total_mass(done)
    detail: dict[str, Any] = {
        "title": modification.title,
        "permanence": modification.permanence,
        "trial": modification.trial,
        "steps": [step_detail(row) for row in done],
    }
    return detail | mass_detail(total)


def mass_detail(total: MassTotal) -> dict[str, Any]:
    """What a change keeps of the mass of a modification; nothing while it is not known."""
    return {} if total.mass_g is None else {"mass_g": round(total.mass_g, 4), "mass_from": total.origin}


def moved_on(session: Session, rows: Sequence[Modification]) -> set[int]:
    """Which of some modifications were worked on since the change that last took them onto the boat."""
    ids = [row.id for row in rows]
    if not ids:
        return set()
    changes, own = changes_in_order(session, ids), steps_of_several(session, ids)
    return {
        row.id
        for row in rows
        if is_moved_on(row, [one for one in changes if one.modification_id == row.id], own.get(row.id, []))
    }


def is_moved_on(modification: Modification, changes: Sequence[Change], rows: Sequence[Step]) -> bool:
    """Whether the steps of a modification are others than its last change that came onto the boat tells."""
    fits = [change for change in changes if change.kind in ("fit", "rework")]
    if not fits:
        return False
    then, now = json.loads(fits[-1].detail), detail_of(modification, rows)
    return any(then.get(name) != now.get(name) for name in ("steps", "mass_g"))


def add_modification(session: Session, hull_id: int, form: FormData, at: Moment) -> Modification:
    """Write down a modification of a hull that is there."""
    new = Modification(hull_id=hull_id, created_at=at.utc, **form)
    session.add(new)
    session.flush()
    return new


def change_modification(session: Session, modification_id: int, form: FormData, at: Moment) -> Modification:
    """Write a modification's facts anew: a blank filled is free, what stood there is kept as a correction. A state that
    has it keeps the words it was made with."""
    kept = modification(session, modification_id)
    stood = {name: getattr(kept, name) for name in form}
    mended = [
        (name, str(stood[name]), "" if new is None else str(new))
        for name, new in form.items()
        if new != stood[name] and stood[name] not in (None, "", False)
    ]
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    add_corrections(session, "modification", modification_id, mended, "", at)
    return kept


def drop(session: Session, modification_id: int, at: Moment, reason: str) -> Modification:
    """Give a modification up. Raises Conflict if fitted."""
    kept = modification(session, modification_id)
    if status(session, [modification_id])[modification_id] == "fitted":
        raise Conflict("It is on the boat: take it off first.")
    _drop(session, kept, at.utc, reason, at)
    return kept


def pick_up(session: Session, modification_id: int, at: Moment) -> Modification:
    """Pick a modification up that was given up; why it was is kept."""
    kept = modification(session, modification_id)
    _drop(session, kept, None, "", at)
    return kept


def _drop(session: Session, kept: Modification, dropped_at: str | None, reason: str, at: Moment) -> None:
    stood = (("dropped_at", kept.dropped_at, dropped_at or ""), ("dropped_reason", kept.dropped_reason, reason))
    mended = [(column, old, new) for column, old, new in stood if old and old != new]
    kept.dropped_at, kept.dropped_reason = dropped_at, reason
    session.add(kept)
    add_corrections(session, "modification", kept.id, mended, "", at)


def changes_in_order(session: Session, modification_ids: list[int]) -> list[Change]:
    """Changes of some modifications in the states that count, in the order of the hull's history."""
    return list(
        session.exec(
            select(Change)
            .join(BuildState, col(BuildState.id) == Change.state_id)
            .where(col(Change.modification_id).in_(modification_ids), ~_superseded())
            .order_by(col(BuildState.made_at), col(BuildState.number), col(Change.position))
        )
    )


def _superseded():
    return exists().where(col(Supersession.old_state_id) == BuildState.id)


def step_detail(step: Step) -> dict[str, Any]:
    """What a change keeps of a step."""
    values = {field: getattr(step, field.column) for field in _KEPT_OF_A_STEP}
    # An unticked box says something only where it is ticked by itself.
    detail = {field.column: value for field, value in values.items() if field.default or not is_open(value)}
    computed = computed_mass_g(step)
    if computed is not None:
        detail["mass_computed_g"] = round(computed, 4)
    return {"id": step.id} | detail
