"""Putting a backup in the place of what is there: checked whole first, what is there kept, one step that counts."""

import sqlite3
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from garage.db import durable, integrity
from garage.db.backup import write_backup
from garage.db.backup_file import Manifest, open_backup, read_entry
from garage.db.kept_backups import BEFORE_RESTORE, backup_path, drop_old_backups
from garage.db.owned_files import is_store_name, owned_hashes, sha256_of, sweep
from garage.errors import UnusableData
from garage.paths import DATABASE_NAME, FILES_NAME, SWEPT_NAME

_LOG_ENDINGS = ("-wal", "-shm", "-journal")


@dataclass(frozen=True)
class Restored:
    """What was done: the backup's list, where what was there before is kept, and files that nobody owns now."""

    manifest: Manifest
    kept_before: Path | None
    swept: list[str]


def restore(backup: Path, data_dir: Path, now: datetime) -> Restored:
    """Make the garage in `data_dir` what it was when `backup` was made. The caller holds the folder.

    Raises UnusableData in words, with nothing changed, for a file that is damaged, newer or not a backup.
    """
    database, files_dir = data_dir / DATABASE_NAME, data_dir / FILES_NAME
    try:
        durable.make_folder(files_dir)
        with tempfile.TemporaryDirectory(prefix=".restoring-", dir=data_dir) as work, open_backup(backup) as opened:
            archive, manifest = opened
            _refuse_if_unfit(manifest, database, backup)
            for entry in manifest.entries:
                with durable.written(Path(work) / Path(entry.name).name) as target:
                    read_entry(archive, entry, target)
            new = Path(work) / DATABASE_NAME
            owned = _checked(new, backup)
            kept = _keep_what_is_there(data_dir, backup, now)
            add_files(Path(work), files_dir)
            put_in_place(new, database)
        swept = sweep(files_dir, owned, data_dir / SWEPT_NAME)
    except OSError as error:
        raise UnusableData(f"{backup} could not be restored to {data_dir}: {error.strerror or error}.") from error
    return Restored(manifest, kept, swept)


def _refuse_if_unfit(manifest: Manifest, database: Path, backup: Path) -> None:
    if manifest.revision not in integrity.known_revisions():
        raise UnusableData(f"{backup} was made by a newer version of this program; nothing was changed.")
    try:
        with integrity.opened(database) as connection:
            facts = integrity.file_facts(connection)
    except sqlite3.Error:
        return
    if facts is None:
        raise UnusableData(f"{database} belongs to another program; nothing was changed.")
    if facts.is_demo != manifest.is_demo:
        kinds = ("the demo", "a real garage") if facts.is_demo else ("a real garage", "the demo")
        raise UnusableData(
            f"{database.parent} holds {kinds[0]} and {backup} holds {kinds[1]}; demo and real data are never mixed."
        )


def _checked(new: Path, backup: Path) -> set[str]:
    """The hashes that the unpacked notebook owns. Raises UnusableData if the notebook is damaged."""
    try:
        with integrity.opened(new) as connection:
            if integrity.file_facts(connection) is None:
                raise UnusableData(f"{backup} holds another program's file; nothing was changed.")
            faults = integrity.file_faults(connection)
            owned = owned_hashes(connection)
    except sqlite3.Error as error:
        raise UnusableData(f"The notebook in {backup} cannot be read; nothing was changed.") from error
    if faults:
        raise UnusableData(f"The notebook in {backup} is damaged; nothing was changed. {faults[0]}")
    return owned


def _keep_what_is_there(data_dir: Path, backup: Path, now: datetime) -> Path | None:
    """A backup of what is there; if it is too damaged for one, its files as they are. None for an empty folder."""
    if not (data_dir / DATABASE_NAME).exists():
        return None
    target = backup_path(data_dir, BEFORE_RESTORE, now)
    try:
        write_backup(data_dir, target, BEFORE_RESTORE, now)
    except UnusableData:
        aside = data_dir / f"damaged-{now.astimezone(UTC).strftime('%Y%m%dT%H%M%SZ')}"
        durable.make_folder(aside)
        for path in data_dir.glob(f"{DATABASE_NAME}*"):
            durable.copy_into(path, aside)
        return aside
    drop_old_backups(data_dir, now, (target, backup))
    return target


def add_files(work: Path, files_dir: Path) -> None:
    """Add the backup's files to those there: the same name is the same content, unless it got damaged."""
    places = [(path, files_dir / path.name[:2] / path.name) for path in work.iterdir() if is_store_name(path.name)]
    for folder in sorted({place.parent for _, place in places}):
        durable.make_folder(folder)
    durable.move((path, place) for path, place in places if not _is_whole(place))


def _is_whole(place: Path) -> bool:
    named = is_store_name(place.name)
    return named is not None and place.exists() and (named[1] or sha256_of(place) == named[0])


def put_in_place(new: Path, database: Path) -> None:
    """The one step that counts. The old file's log must not be read as the new one's: it is written home first."""
    if database.exists():
        try:
            with integrity.opened(database, writes=True) as connection:
                connection.execute("PRAGMA journal_mode = DELETE")
        except sqlite3.Error:
            pass  # Too damaged; it was copied with its log a moment ago.
    for ending in _LOG_ENDINGS:
        database.with_name(database.name + ending).unlink(missing_ok=True)
    durable.replace(new, database)
