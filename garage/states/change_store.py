"""Writing changes: what one visit to the workshop makes of a hull's build state, and taking it back."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from sqlmodel import Session, col, select

from garage.corrections.same_store import is_or_stands_for, kept_id
from garage.errors import Conflict
from garage.handed_down import Rests
from garage.hulls.store import hull as one_hull
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.fold import EMPTY, ChangeFormData, Content, DoesNotFit, apply, at_place, fold, part_key
from garage.states.mending_store import ReadState, mended_values
from garage.states.query_store import (
    changes_of,
    current_state,
    first_live_state,
    local_midnight,
    moment_of,
    state,
    state_by_number,
    state_content,
)
from garage.states.tables import BuildState, Change, Supersession
from garage.states.write_store import read_change, rewrite_state, supersede, write_changes, write_state

# The visit's own page leads there by itself; other forms can only say so.
_WAY_OUT = "A workshop visit at that time shows first what it would move."


class InThePast(Conflict):
    """A visit that lies before something already written down: it has to be put in at its date."""


@dataclass(frozen=True)
class Visit:
    """A visit as written down: the state it led to, and its own changes there, in order."""

    state: BuildState
    changes: list[Change]

    @property
    def first_position(self) -> int:
        """Where its changes begin in that state."""
        return self.changes[0].position


def ensure_first_state(session: Session, hull: Hull, at: Moment) -> BuildState:
    """The hull's current state; if it has none yet, its first one, with nothing on the boat.

    The first state begins at midnight of the day the hull was built or, if that is not known, at the earlier
    of `at` and when the hull was written down.
    """
    found = current_state(session, hull.id)
    if found is not None:
        return found
    begun = local_midnight(hull.built_on) if hull.built_on else min(at, Moment(hull.created_at, at.offset_min))
    return write_state(session, hull.id, None, EMPTY, begun, at)


def make_changes(
    session: Session,
    hull_id: int,
    changes: Iterable[ChangeFormData],
    at: Moment,
    now: Moment,
    rests: Rests,
    note: str = "",
) -> BuildState:
    """Make `changes` to a hull in one visit at `at`; the state they lead to.

    Joins the current state if nothing `rests` on it and it was made the same local day. Raises InThePast if
    something is written down after `at` already, Conflict if a change does not fit what is on the boat.
    """
    return make_visit(session, hull_id, changes, at, now, rests, note).state


def make_visit(
    session: Session,
    hull_id: int,
    changes: Iterable[ChangeFormData],
    at: Moment,
    now: Moment,
    rests: Rests,
    note: str = "",
    read: ReadState | None = None,
) -> Visit:
    """As `make_changes`, telling also its changes as they were written; `read` is a state of the hull that was read."""
    forms = list(changes)
    if not forms:
        raise Conflict("Nothing was changed, so the build state stays as it is.")
    current = ensure_first_state(session, one_hull(session, hull_id), at)
    _refuse_past(session, current, at, rests)
    _refuse_parts_elsewhere(session, hull_id, forms)
    try:
        mended = read.mended if read and read.id == current.id else mended_values(session, current.id)
        done, content = completed(state_content(current), forms, mended)
    except DoesNotFit as error:
        raise Conflict(str(error)) from error
    if _may_join(session, current, at, rests):
        rewrite_state(session, current, content, note)
        first = len(changes_of(session, [current.id]).get(current.id, []))
    else:
        current, first = write_state(session, hull_id, current.id, content, at, now, note), 0
    return Visit(current, write_changes(session, current.id, done, now, first))


def take_back(
    session: Session,
    hull_id: int,
    number: int,
    position: int,
    now: Moment,
    rests: Rests,
    release_steps: Callable[[Session, list[int]], None],
) -> BuildState:
    """Take back the changes of a hull's current state from `position` on; the state that then stands.

    `release_steps` lets go the steps that changes, by their ids, took onto the boat: steps are kept a floor above.

    A state that has no changes left gives way to the one before it: its number is not used again, and its
    page and fingerprint stay. Raises Conflict if a run rests on the state or it is not the current one.
    """
    found = state_by_number(session, hull_id, number)
    current = current_state(session, hull_id)
    if current is None or current.id != found.id:
        raise Conflict(f"Build state {number} is not the current one any more; it cannot be taken back.")
    if rests.is_frozen(session, hull_id, number):
        raise Conflict(f"A run rests on build state {number}: write a correction, or make the change anew.")
    changes = changes_of(session, [found.id]).get(found.id, [])
    taken = [change for change in changes if change.position >= position]
    if not taken:
        raise Conflict("That was taken back already.")
    release_steps(session, [change.id for change in taken])
    if len(taken) == len(changes) and found.parent_id is not None:
        parent = state(session, found.parent_id)
        supersede(session, found.id, found.parent_id, now, "taken back before any run")
        return parent
    kept = [read_change(change) for change in changes if change.position < position]
    base = state_content(state(session, found.parent_id)) if found.parent_id is not None else EMPTY
    for change in taken:
        session.delete(change)
    session.flush()
    rewrite_state(session, found, fold(kept, base), "")
    return found


def completed(
    content: Content, forms: Sequence[ChangeFormData], mended: Mapping[str, Any] = MappingProxyType({})
) -> tuple[list[ChangeFormData], Content]:
    """Forms with what they found on the boat written into them, and its content then. Raises DoesNotFit.

    `mended` holds what settings should have read, by key and place: that is what a change found there.
    """
    done, shown = [], dict(mended)
    for form in forms:
        full = _completed(content, form, shown)
        shown.pop(at_place(form.setting, form.place), None)
        content = apply(content, full)
        done.append(full)
    return done, content


def _completed(content: Content, form: ChangeFormData, mended: Mapping[str, Any]) -> ChangeFormData:
    if form.kind == "set":
        setting = at_place(form.setting, form.place)
        was = mended.get(setting, content.settings.get(setting))
        return replace(form, detail={"value": form.detail.get("value"), "was": was})
    if form.kind == "take off" and str(form.modification_id) in content.fitted:
        return replace(form, detail=content.fitted[str(form.modification_id)])
    if form.kind == "take out" and form.part_id is not None:
        key = part_key(content, form.part_id)
        return replace(form, detail=content.parts[key]) if key else form
    return form


def _refuse_past(session: Session, current: BuildState, at: Moment, rests: Rests) -> None:
    made = moment_of(current)
    if at.utc < current.made_at:
        _refuse_before_history(session, current.hull_id, at)
        raise InThePast(
            f"Build state {current.number} of {made.day()}, {made.clock()}, is written down after that time. "
            + _WAY_OUT
        )
    last = rests.last_run_utc(session, current.hull_id)
    if last > at.utc:
        run_at = Moment(last, at.offset_min)
        raise InThePast(f"A run of {run_at.day()}, {run_at.clock()}, is written down after that time. {_WAY_OUT}")


def _refuse_before_history(session: Session, hull_id: int, at: Moment) -> None:
    first, built_on = first_live_state(session, hull_id), one_hull(session, hull_id).built_on
    is_there = bool(built_on) and local_midnight(built_on).utc <= at.utc
    if first is not None and at.utc < first.made_at and not is_there:
        raise Conflict(
            f"This hull’s history begins on {moment_of(first).day()}: choose a later date, or put right on "
            "the hull’s own form when it was built."
        )


def part_elsewhere(session: Session, hull_id: int, part_id: int, utc: str = "9999") -> str:
    """The name of another hull that a part was in at `utc`, or is in now; '' if it was in none."""
    return parts_elsewhere(session, hull_id, [part_id], utc).get(part_id, "")


def parts_elsewhere(session: Session, hull_id: int, part_ids: Iterable[int], utc: str = "9999") -> dict[int, str]:
    """The same for some parts, by part; those that were in none are left out."""
    last = session.exec(
        select(kept_id("part", Change.part_id), Change.kind, Hull.name)
        .join(BuildState, col(Change.state_id) == BuildState.id)
        .join(Hull, col(BuildState.hull_id) == Hull.id)
        .where(
            is_or_stands_for("part", Change.part_id, part_ids),
            col(BuildState.id).not_in(select(Supersession.old_state_id)),
            BuildState.hull_id != hull_id,
            BuildState.made_at <= utc,
        )
        .order_by(col(BuildState.made_at), col(Change.id))
    )
    # The latest of a part comes last, and stays.
    found = {part_id: (kind, name) for part_id, kind, name in last}
    return {part_id: name for part_id, (kind, name) in found.items() if part_id is not None and kind == "install"}


def _refuse_parts_elsewhere(session: Session, hull_id: int, forms: Sequence[ChangeFormData]) -> None:
    installed = {form.part_id: form for form in forms if form.kind == "install" and form.part_id is not None}
    elsewhere = parts_elsewhere(session, hull_id, installed) if installed else {}
    for part_id, form in installed.items():
        if part_id in elsewhere:
            what = form.detail.get("text") or form.detail.get("code") or "That part"
            raise Conflict(f"{what} is in {elsewhere[part_id]}: take it out there first.")


def _may_join(session: Session, current: BuildState, at: Moment, rests: Rests) -> bool:
    same_day = moment_of(current).date() == at.date()
    return same_day and not rests.is_frozen(session, current.hull_id, current.number)
