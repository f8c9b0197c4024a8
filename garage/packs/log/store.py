"""A pack's own log: discharges in runs and on the bench, storage charges; and its resistance readings."""

from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.errors import Conflict, NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.packs.store import pack
from garage.packs.tables import PackLog, PackReading


def log_entries(session: Session, pack_id: int, *, limit: int, offset: int = 0) -> list[PackLog]:
    """A pack's log, newest first, with what was set aside."""
    newest_first = select(PackLog).where(PackLog.pack_id == pack_id).order_by(col(PackLog.at).desc())
    return list(session.exec(newest_first.limit(limit).offset(offset)))


def add_log_entry(session: Session, pack_id: int, form: FormData, at: Moment) -> PackLog:
    """Write down a discharge on the bench, a charge, or a look at the resting volts. Raises NotFound."""
    pack(session, pack_id)
    row = PackLog(pack_id=pack_id, **form, created_at=at.utc)
    session.add(row)
    session.flush()
    return row


def set_aside_log_entry(session: Session, pack_id: int, entry_id: int, at: str | None) -> PackLog:
    """Take an entry out of the count, or bring it back with `at` None. Raises NotFound, Conflict."""
    row = session.get(PackLog, entry_id)
    if row is None or row.pack_id != pack_id:
        raise NotFound("There is no such entry in this pack’s log.")
    if row.kind == "run":
        raise Conflict("This discharge belongs to a run: set the run aside, or change its pack there.")
    row.set_aside_at = at
    session.add(row)
    return row


def readings(session: Session, pack_id: int, *, limit: int, offset: int = 0) -> list[PackReading]:
    """A pack's resistance readings, newest first, without those set aside."""
    kept = select(PackReading).where(PackReading.pack_id == pack_id, col(PackReading.set_aside_at).is_(None))
    return list(session.exec(kept.order_by(col(PackReading.at).desc()).limit(limit).offset(offset)))


def add_reading(session: Session, pack_id: int, form: FormData, at: Moment) -> PackReading:
    """Write down a resistance reading. Raises NotFound."""
    pack(session, pack_id)
    row = PackReading(pack_id=pack_id, **form, created_at=at.utc)
    session.add(row)
    session.flush()
    return row


def set_aside_reading(session: Session, pack_id: int, reading_id: int, at: str | None) -> None:
    """Set a reading aside, or bring it back with `at` None. Raises NotFound."""
    row = session.get(PackReading, reading_id)
    if row is None or row.pack_id != pack_id:
        raise NotFound("There is no such reading of this pack.")
    row.set_aside_at = at
    session.add(row)


def set_several_aside(session: Session, entry_ids: list[int], at: str | None) -> None:
    """Take some entries out of the count, or bring them back. Raises NotFound unless all are there and none
    belongs to a run."""
    rows = list(session.exec(select(PackLog).where(in_(PackLog.id, entry_ids), PackLog.kind != "run")))
    if not rows or len(rows) != len(set(entry_ids)):
        raise NotFound("There are no such entries in the log.")
    for row in rows:
        row.set_aside_at = at
        session.add(row)
