"""The page of a modification put together."""

from sqlmodel import Session

from garage.hulls.store import hull
from garage.modifications import sheets, step_store, store
from garage.moments import Moment
from garage.photos import sheets as photo_sheets
from garage.photos import store as photos


def gathered_modification(session: Session, modification_id: int, at: Moment) -> sheets.ModificationSheet:
    """A modification as it stands `at` now, with its steps. Raises NotFound."""
    kept = store.modification(session, modification_id)
    attached = photo_sheets.attached(
        "modification", modification_id, photos.attachments(session, "modification", modification_id)
    )
    return sheets.modification_sheet(
        kept,
        hull(session, kept.hull_id),
        store.status(session, [modification_id])[modification_id],
        _work(session, modification_id),
        step_store.steps_set_aside(session, modification_id),
        store.changes_of(session, modification_id),
        attached,
        at,
        moved_on=store.has_moved_on(session, kept),
    )


def _work(session: Session, modification_id: int) -> sheets.Work:
    rows = step_store.as_mended(session, store.steps(session, modification_id))
    mended = step_store.corrections_of(session, [row.id for row in rows])
    return sheets.Work(rows, step_store.frozen_ids(session, [modification_id]), mended)
