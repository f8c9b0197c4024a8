"""Bringing a modification onto the boat, working it over there, taking it off; each makes a build state."""

from typing import Any

from sqlmodel import Session

from garage.errors import Conflict
from garage.handed_down import Rests
from garage.modifications.forms import FitFormData
from garage.modifications.step_store import steps, take_in_steps, tick_step
from garage.modifications.store import changes_in_order, detail_of, is_moved_on, modification, stand
from garage.modifications.tables import Modification, Step
from garage.moments import Moment
from garage.states.change_store import Visit, make_visit
from garage.states.fold import ChangeFormData


def fit(session: Session, modification_id: int, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    """Fit a modification with the steps done so far. Raises NotFound, Conflict."""
    kept = modification(session, modification_id)
    if kept.dropped_at is not None:
        raise Conflict("It was dropped: pick it up again first.")
    rows = steps(session, modification_id)
    _tick(session, rows, form, rests)
    return _take_in(session, kept, rows, "fit", form, now, rests)


def rework(session: Session, modification_id: int, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    """Take what was done on a fitted modification since into a build state. Raises NotFound, Conflict."""
    kept, rows = modification(session, modification_id), steps(session, modification_id)
    _tick(session, rows, form, rests)
    changes = changes_in_order(session, [modification_id])
    fitted = stand([kept], changes, ())[modification_id] == "fitted"
    if fitted and not is_moved_on(kept, changes, rows):
        raise Conflict("Nothing was done on it since it was fitted: tick the steps that were.")
    return _take_in(session, kept, rows, "rework", form, now, rests)


def take_off(session: Session, modification_id: int, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    """Take a fitted modification off the boat. Raises NotFound, Conflict."""
    kept = modification(session, modification_id)
    return _change(session, kept, "take off", {"title": kept.title}, form, now, rests)


def _take_in(
    session: Session, kept: Modification, rows: list[Step], kind: str, form: FitFormData, now: Moment, rests: Rests
) -> Visit:
    visit = _change(session, kept, kind, detail_of(kept, rows), form, now, rests)
    take_in_steps(session, visit.changes[-1].id, rows)
    return visit


def _change(
    session: Session,
    kept: Modification,
    kind: str,
    detail: dict[str, Any],
    form: FitFormData,
    now: Moment,
    rests: Rests,
) -> Visit:
    change = ChangeFormData(kind, modification_id=kept.id, detail=detail, note=form.note)
    return make_visit(session, kept.hull_id, [change], form.at, now, rests)


def _tick(session: Session, rows: list[Step], form: FitFormData, rests: Rests) -> None:
    """Mark the steps done that were ticked along with the fitting."""
    for row in rows:
        if row.id in form.done_step_ids and row.done_at is None:
            tick_step(session, row.id, form.at.utc, rests)
    session.flush()
