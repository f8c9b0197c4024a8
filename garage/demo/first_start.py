"""The demo garage at its first start: the stored one unpacked, and moved to now."""

import tempfile
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from garage.db import integrity
from garage.db.backup_file import open_backup, read_entry
from garage.db.durable import make_folder, move, written
from garage.db.engine import open_engine, reading
from garage.db.facts import fact
from garage.db.migrate import bring_up_to_date
from garage.demo.moving import move_in_time
from garage.errors import UnusableData
from garage.paths import DATABASE_NAME, FILES_NAME, SHARED_DIR
from garage.schema import REFILL, TRIGGERS

# Made by `python -m garage.demo.storing`, without guards and full text: these are made here.
STORED_GARAGE = SHARED_DIR / "demo_garage" / "garage.zip"
# Whole weeks, so that what was done on a Saturday was done on a Saturday.
_STEP = timedelta(weeks=1)


def make_demo_garage(folder: Path, now: datetime | None, say: Callable[[str], object] | None = None) -> bool:
    """Make the invented garage in `folder` unless it is there already. True if it was made.

    Its last day lies within the week before `now`; without one its dates stay as they are stored. `say` is told
    what is done. It is made beside `folder` and put in its place when whole: a making that breaks off leaves
    nothing. Raises UnusableData if `folder` holds anything else, a real garage above all.
    """
    if _is_demo(folder):
        return False
    tell = say or (lambda _words: None)
    try:
        make_folder(folder.parent)
        with tempfile.TemporaryDirectory(prefix=f".{folder.name}-", dir=folder.parent) as work:
            half_made = Path(work) / "demo"
            tell(f"Unpacking the invented garage into {folder} …")
            told_until = _unpack(half_made)
            if now is not None:
                tell("Moving its dates, so that its last day lies in the past week …")
            _finish(half_made, days_to_move(told_until, now) if now is not None else 0)
            if folder.exists():
                folder.rmdir()
            move([(half_made, folder)])
    except OSError as error:
        raise UnusableData(f"The demo cannot be made in {folder}: {error.strerror or error}.") from error
    return True


def days_to_move(told_until: datetime, now: datetime) -> int:
    """By how many days what ends at `told_until` is moved to end before `now`, by less than a week: whole weeks."""
    return (now - told_until) // _STEP * _STEP.days


def _is_demo(folder: Path) -> bool:
    """Whether the demo is there already; False for no folder or an empty one. Raises UnusableData."""
    if not folder.exists() or (folder.is_dir() and not any(folder.iterdir())):
        return False
    database = folder / DATABASE_NAME
    if not database.is_file():
        raise UnusableData(f"{folder} holds something else; choose an empty folder for the demo.")
    engine = open_engine(database)
    try:
        bring_up_to_date(engine, database, TRIGGERS, REFILL)
        with reading(engine) as session:
            if fact(session, "demo") != "yes":
                raise UnusableData(f"{folder} holds a real garage; demo and real data are never mixed.")
    finally:
        engine.dispose()
    return True


def _unpack(folder: Path) -> datetime:
    """Unpack the stored garage; the last moment that anything in it tells of."""
    with open_backup(STORED_GARAGE) as (archive, manifest):
        for entry in manifest.entries:
            path = folder / entry.name
            make_folder(path.parent)
            with written(path) as target:
                read_entry(archive, entry, target)
    return datetime.fromisoformat(manifest.made_at.replace("Z", "+00:00"))


def _finish(folder: Path, days: int) -> None:
    """Move the dates, and make what hangs on them once they stand: the full text and the guards."""
    database = folder / DATABASE_NAME
    with integrity.opened(database, writes=True) as connection:
        connection.execute("BEGIN")
        move_in_time(connection, folder / FILES_NAME, days)
        connection.execute("COMMIT")
    engine = open_engine(database)
    try:
        bring_up_to_date(engine, database, TRIGGERS, REFILL)
    finally:
        engine.dispose()
