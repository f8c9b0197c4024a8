"""The page of a modification put together."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.corrections.store import corrections_of
from garage.handed_down import Rests
from garage.hulls.store import hulls_by_ids
from garage.modifications import sheets, step_store, store
from garage.modifications.slips import boats_in, slips_in_words
from garage.modifications.step_sheets import mended_lines
from garage.modifications.tables import Step
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
    changes = store.changes_of(session, modification_id)
    written = step_store.steps(session, modification_id)
    begun = {row.modification_id for row in written if row.done_at is not None}
    only_changes = [change for change, _ in changes]
    slips = corrections_of(session, "modification", [modification_id]).get(modification_id, [])
    boats = hulls_by_ids(session, {kept.hull_id, *boats_in(slips)})
    return sheets.modification_sheet(
        kept,
        boats[kept.hull_id],
        store.stand([kept], only_changes, begun)[modification_id],
        _work(session, modification_id, written, units, rests),
        step_store.steps_set_aside(session, modification_id),
        changes,
        attached,
        at,
        moved_on=store.is_moved_on(kept, only_changes, written),
        mended=slips_in_words(slips, {boat.id: boat.name for boat in boats.values()}, units),
    )


def _work(
    session: Session, modification_id: int, written: Sequence[Step], units: DisplayUnits, rests: Rests
) -> sheets.Work:
    corrections = step_store.corrections_of(session, [row.id for row in written])
    rows = step_store.as_mended(written, corrections)
    mended = {step_id: mended_lines(listed, units) for step_id, listed in corrections.items()}
    return sheets.Work(rows, rests.frozen_steps(session, [modification_id]), mended)
