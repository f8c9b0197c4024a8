"""What a visit can be about, and keeping one with all that its changes bring along."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace

from sqlmodel import Session

from garage.db.in_ids import rows_by_ids
from garage.drives.store import part, part_spec, parts_by_ids, parts_in_use
from garage.handed_down import Rests
from garage.modifications.step_store import steps_of_several, take_in_steps
from garage.modifications.store import detail_of, modification, modifications_by_ids, modifications_of, moved_on
from garage.modifications.tables import Step
from garage.moments import Moment
from garage.shelf.lending import named_lent
from garage.shelf.loan_store import open_loans
from garage.states.change_store import Visit, make_visit
from garage.states.fold import ChangeFormData, Content
from garage.states.mending_store import ReadState
from garage.states.tables import Change
from garage.states.visit_forms import OnOffer, VisitFormData

MOST_OFFERED = 200
_FITS = ("fit", "rework")
# Told by service events, which stand outside a state.
_NOT_KEPT = ("throttle_calibrated_on",)


def on_offer(session: Session, hull_id: int, content: Content) -> OnOffer:
    """Modifications and parts that a visit to a hull with `content` can be about."""
    return OnOffer(_fittable(session, hull_id, content), _reworkable(session, content), _installable(session, content))


def offer_for(session: Session, hull_id: int, content: Content, typed: Mapping[str, str]) -> OnOffer:
    """The same as far as the fields of a visit that was `typed` choose among it; the rest is not asked for."""
    chosen = [name for name, text in typed.items() if text]

    def is_asked(*beginnings: str) -> bool:
        return any(name.startswith(beginnings) for name in chosen)

    return OnOffer(
        _fittable(session, hull_id, content) if is_asked("fit_") else {},
        _reworkable(session, content) if is_asked("rework_") else {},
        _installable(session, content) if is_asked("part_") else {},
    )


def _fittable(session: Session, hull_id: int, content: Content) -> dict[int, str]:
    known = modifications_of(session, hull_id, limit=MOST_OFFERED)
    return {row.id: row.title for row in known if str(row.id) not in content.fitted and not row.dropped_at}


def _reworkable(session: Session, content: Content) -> dict[int, str]:
    on_board = modifications_by_ids(session, [int(key) for key in content.fitted])
    fitted = [on_board[int(key)] for key in content.fitted]
    reworked = moved_on(session, fitted)
    return {row.id: row.title for row in fitted if row.id in reworked}


def _installable(session: Session, content: Content) -> dict[int, str]:
    installed = {entry["part_id"] for entry in content.parts.values()}
    loose = [row for row in parts_in_use(session, limit=MOST_OFFERED) if row.id not in installed]
    lent = open_loans(session, "part", [row.id for row in loose])
    return {row.id: named_lent(row.text, lent.get(row.id)) for row in loose}


def filled(session: Session, changes: Iterable[ChangeFormData]) -> list[ChangeFormData]:
    """Changes with what a state keeps of each modification and part. Raises NotFound."""
    forms = list(changes)
    fitted = {one.modification_id for one in forms if one.kind in _FITS and one.modification_id is not None}
    installed = {one.part_id for one in forms if one.kind == "install" and one.part_id is not None}
    own = steps_of_several(session, fitted) if fitted else {}
    # Read together and held here, so that each is found below without asking.
    _held = modifications_by_ids(session, fitted), parts_by_ids(session, installed)
    return [_filled(session, one, own) for one in forms]


def keep_visit(
    session: Session, hull_id: int, form: VisitFormData, now: Moment, rests: Rests, read: ReadState | None = None
) -> Visit:
    """Write down a visit to a hull of which a state was read. Raises InThePast, Conflict."""
    visit = make_visit(session, hull_id, filled(session, form.changes), form.at, now, rests, form.note, read)
    take_in(session, visit.changes)
    return visit


def take_in(session: Session, changes: Iterable[Change]) -> None:
    """Mark the steps that changes of a state took onto the boat."""
    brought = {one.id: json.loads(one.detail)["steps"] for one in changes if one.kind in _FITS and one.modification_id}
    rows = rows_by_ids(session, Step, [step["id"] for steps in brought.values() for step in steps])
    for change_id, steps in brought.items():
        take_in_steps(session, change_id, [rows[step["id"]] for step in steps])


def _filled(session: Session, change: ChangeFormData, own: Mapping[int, list[Step]]) -> ChangeFormData:
    if change.kind in _FITS and change.modification_id is not None:
        kept = modification(session, change.modification_id)
        return replace(change, detail=detail_of(kept, own.get(kept.id, [])))
    if change.kind == "install" and change.part_id is not None:
        spec = part_spec(part(session, change.part_id))
        return replace(change, detail={name: value for name, value in spec.items() if name not in _NOT_KEPT})
    return change
