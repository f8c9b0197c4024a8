"""Bringing a modification onto the boat, working it over there, taking it off; each makes a build state."""

from typing import Any

from sqlmodel import Session, col, select

from garage.errors import Conflict
from garage.handed_down import Rests
from garage.modifications.forms import FitFormData
from garage.modifications.step_store import steps, take_in_steps, tick_step
from garage.modifications.store import fitted_detail, has_moved_on, modification, status
from garage.modifications.tables import Modification
from garage.moments import Moment
from garage.states.change_store import Visit, make_visit
from garage.states.fold import ChangeFormData
from garage.states.tables import Change


def fit(session: Session, modification_id: int, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    """Fit a modification with the steps done so far. Raises NotFound, Conflict."""
    kept = modification(session, modification_id)
    if kept.dropped_at is not None:
        raise Conflict("It was dropped: pick it up again first.")
    return _take_in(session, kept, "fit", form, now, rests)


def rework(session: Session, modification_id: int, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    """Take what was done on a fitted modification since into a build state. Raises NotFound, Conflict."""
    kept = modification(session, modification_id)
    _tick(session, modification_id, form, rests)
    fitted = status(session, [modification_id])[modification_id] == "fitted"
    if fitted and not has_moved_on(session, kept):
        raise Conflict("Nothing was done on it since it was fitted: tick the steps that were.")
    return _take_in(session, kept, "rework", form, now, rests)


def take_off(session: Session, modification_id: int, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    """Take a fitted modification off the boat. Raises NotFound, Conflict."""
    kept = modification(session, modification_id)
    return _change(session, kept, "take off", {"title": kept.title}, form, now, rests)


def _take_in(session: Session, kept: Modification, kind: str, form: FitFormData, now: Moment, rests: Rests) -> Visit:
    _tick(session, kept.id, form, rests)
    detail = fitted_detail(session, kept)
    visit = _change(session, kept, kind, detail, form, now, rests)
    made = session.exec(
        select(Change.id)
        .where(Change.state_id == visit.state.id, Change.modification_id == kept.id)
        .order_by(col(Change.position).desc())
    ).first()
    assert made is not None
    take_in_steps(session, made, [entry["id"] for entry in detail["steps"]])
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


def _tick(session: Session, modification_id: int, form: FitFormData, rests: Rests) -> None:
    """Mark the steps done that were ticked along with the fitting."""
    for row in steps(session, modification_id):
        if row.id in form.done_step_ids and row.done_at is None:
            tick_step(session, row.id, form.at.utc, rests)
    session.flush()
