"""Things that are one: what belongs to the one handed to the other, and which of them stands for which."""

from typing import Any

from sqlalchemy import update
from sqlmodel import Session, col, select

from garage.corrections.tables import SameThing
from garage.db.in_ids import in_
from garage.errors import Conflict
from garage.findings.tables import Finding
from garage.mending.steps import Handed, Same
from garage.moments import Moment
from garage.packs.tables import PackLog, PackReading, PackSetMember
from garage.photos.tables import Attachment
from garage.props.tables import PropEdition
from garage.shelf.tables import Loan, ShelfEntry
from garage.waters.tables import Outing

# Each table whose rows are handed on, with the column by which a step names its rows.
_HANDED: dict[str, tuple[Any, Any]] = {
    "attachment": (Attachment, Attachment.id),
    "finding": (Finding, Finding.id),
    "loan": (Loan, Loan.id),
    "outing": (Outing, Outing.id),
    "pack_log": (PackLog, PackLog.id),
    "pack_reading": (PackReading, PackReading.id),
    "pack_set_member": (PackSetMember, PackSetMember.set_id),
    "prop_edition": (PropEdition, PropEdition.id),
    "shelf_entry": (ShelfEntry, ShelfEntry.id),
}
_CHANGED = "It was changed since: look at it once more."


def hand(session: Session, step: Handed) -> None:
    """Hand rows on. Raises Conflict if one of them belongs to something else by now."""
    table, key = _HANDED[step.table]
    session.flush()
    rows = update(table).where(in_(key, step.rows), col(getattr(table, step.column)) == step.old)
    done: Any = session.execute(rows.values({step.column: step.new}), execution_options={"synchronize_session": False})
    if done.rowcount != len(step.rows):
        raise Conflict(_CHANGED)
    for row in list(session.identity_map.values()):
        if isinstance(row, table):
            session.expire(row)


def join_or_part(session: Session, step: Same, why: str, now: Moment, mending_id: int) -> None:
    """Let one thing stand for another, or no longer. Raises Conflict if that is so already."""
    pair = select(SameThing).where(
        SameThing.kind == step.kind, SameThing.gone_id == step.gone_id, col(SameThing.parted_at).is_(None)
    )
    stands = session.exec(pair).first()
    if step.new:
        if stands is not None:
            raise Conflict(_CHANGED)
        session.add(
            SameThing(
                kind=step.kind, gone_id=step.gone_id, kept_id=step.kept_id, why=why, at=now.utc, mending_id=mending_id
            )
        )  # fmt: skip
    else:
        if stands is None or stands.kept_id != step.kept_id:
            raise Conflict(_CHANGED)
        stands.parted_at = now.utc
        session.add(stands)
    session.flush()
