"""What a visit can be about, and keeping one with all that its changes bring along."""

from collections.abc import Iterable
from dataclasses import replace

from sqlmodel import Session

from garage.drives.store import part, part_spec, parts_in_use
from garage.handed_down import Rests
from garage.modifications.step_store import take_in_steps
from garage.modifications.store import fitted_detail, modification, modifications_by_ids, modifications_of, moved_on
from garage.moments import Moment
from garage.shelf.lending import named_lent
from garage.shelf.loan_store import open_loans
from garage.states.change_store import Visit, make_visit
from garage.states.fold import ChangeFormData, Content
from garage.states.query_store import changes_of
from garage.states.visit_forms import OnOffer, VisitFormData

MOST_OFFERED = 200
# Told by service events, which stand outside a state.
_NOT_KEPT = ("throttle_calibrated_on",)


def on_offer(session: Session, hull_id: int, content: Content) -> OnOffer:
    """Modifications and parts that a visit to a hull with `content` can be about."""
    known = modifications_of(session, hull_id, limit=MOST_OFFERED)
    on_board = modifications_by_ids(session, [int(key) for key in content.fitted])
    fitted = [on_board[int(key)] for key in content.fitted]
    reworked = moved_on(session, fitted)
    installed = {entry["part_id"] for entry in content.parts.values()}
    loose = [row for row in parts_in_use(session, limit=MOST_OFFERED) if row.id not in installed]
    lent = open_loans(session, "part", [row.id for row in loose])
    return OnOffer(
        {row.id: row.title for row in known if str(row.id) not in content.fitted and not row.dropped_at},
        {row.id: row.title for row in fitted if row.id in reworked},
        {row.id: named_lent(row.text, lent.get(row.id)) for row in loose},
    )


def filled(session: Session, changes: Iterable[ChangeFormData]) -> list[ChangeFormData]:
    """Changes with what a state keeps of each modification and part. Raises NotFound."""
    return [_filled(session, change) for change in changes]


def keep_visit(session: Session, hull_id: int, form: VisitFormData, now: Moment, rests: Rests) -> Visit:
    """Write down a visit. Raises InThePast, Conflict."""
    visit = make_visit(session, hull_id, filled(session, form.changes), form.at, now, rests, form.note)
    take_in(session, visit.state.id, visit.first_position)
    return visit


def take_in(session: Session, state_id: int, first_position: int = 0) -> None:
    """Mark the steps that a state's changes, from a position on, took onto the boat."""
    for change in changes_of(session, [state_id]).get(state_id, []):
        if change.position >= first_position and change.kind in ("fit", "rework") and change.modification_id:
            detail = fitted_detail(session, modification(session, change.modification_id))
            take_in_steps(session, change.id, [step["id"] for step in detail["steps"]])


def _filled(session: Session, change: ChangeFormData) -> ChangeFormData:
    if change.kind in ("fit", "rework") and change.modification_id is not None:
        return replace(change, detail=fitted_detail(session, modification(session, change.modification_id)))
    if change.kind == "install" and change.part_id is not None:
        spec = part_spec(part(session, change.part_id))
        return replace(change, detail={name: value for name, value in spec.items() if name not in _NOT_KEPT})
    return change
