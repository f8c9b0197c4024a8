"""The page of a modification put together."""

from sqlmodel import Session

from garage.handed_down import Rests
from garage.hulls.store import hull
from garage.modifications import sheets, step_store, store
from garage.modifications.step_sheets import mended_lines
from garage.moments import Moment
from garage.photos import sheets as photo_sheets
from garage.photos import store as photos
from garage.units import DisplayUnits


def gathered_modification(
    session: Session, modification_id: int, at: Moment, units: DisplayUnits, rests: Rests
) -> sheets.ModificationSheet:
    """A modification as it stands `at` now, with its steps. Raises NotFound."""
    kept = store.modification(session, modification_id)
    attached = photo_sheets.attached(
        "modification", modification_id, photos.attachments(session, "modification", modification_id)
    )
    return sheets.modification_sheet(
        kept,
        hull(session, kept.hull_id),
        store.status(session, [modification_id])[modification_id],
        _work(session, modification_id, units, rests),
        step_store.steps_set_aside(session, modification_id),
        store.changes_of(session, modification_id),
        attached,
        at,
        moved_on=store.has_moved_on(session, kept),
    )


def _work(session: Session, modification_id: int, units: DisplayUnits, rests: Rests) -> sheets.Work:
    rows = step_store.as_mended(session, store.steps(session, modification_id))
    corrections = step_store.corrections_of(session, [row.id for row in rows])
    mended = {step_id: mended_lines(listed, units) for step_id, listed in corrections.items()}
    return sheets.Work(rows, rests.frozen_steps(session, [modification_id]), mended)
