"""Making a backup while the garage is served, and reading it back."""

import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from garage.db import integrity
from garage.db.backup_file import Entry, Manifest, add_file, add_manifest, open_backup, verify
from garage.db.durable import make_folder, replace
from garage.db.owned_files import owned_hashes, stored_files
from garage.errors import UnusableData
from garage.paths import DATABASE_NAME, FILES_NAME

_ROOM_TO_SPARE = 50_000_000


def write_backup(data_dir: Path, target: Path, why: str, now: datetime) -> Manifest:
    """Back up the garage in `data_dir` to the file `target`, whole and read back, or nothing at all.

    The notebook's file is copied as it stands at one moment, also while it is written to. A photo or recording
    that is missing or damaged already is named in the manifest's `faults`; everything else is kept all the same.
    Raises UnusableData in words.
    """
    database = data_dir / DATABASE_NAME
    if not database.is_file():
        raise UnusableData(f"There is no garage in {data_dir}.")
    try:
        make_folder(target.parent)
        _refuse_if_too_full(data_dir, target.parent)
        with tempfile.TemporaryDirectory(prefix=".making-", dir=target.parent) as work:
            snapshot, part = Path(work) / DATABASE_NAME, Path(work) / "backup.zip"
            take_snapshot(database, snapshot)
            manifest = _write(snapshot, data_dir / FILES_NAME, part, why, now)
            with open_backup(part) as (archive, read_back):
                verify(archive, read_back.entries)
            replace(part, target)
    except OSError as error:
        raise UnusableData(f"No backup could be made in {target.parent}: {error.strerror or error}.") from error
    return manifest


def take_snapshot(database: Path, copy: Path) -> None:
    """Copy a notebook's file as it stands at one moment. Raises UnusableData if it is damaged."""
    try:
        with integrity.opened(database) as source:
            target = sqlite3.connect(copy)
            try:
                source.backup(target)
                # A single file: the copy is to need no log beside it.
                target.execute("PRAGMA journal_mode = DELETE")
                faults = integrity.file_faults(target)
            finally:
                target.close()
    except sqlite3.Error as error:
        if copy.exists() and shutil.disk_usage(copy.parent).free < 1_000_000:
            raise UnusableData(f"No backup could be made in {copy.parent.parent}: the disk is full.") from error
        raise UnusableData(f"{database} cannot be backed up: {error}.") from error
    if faults:
        raise UnusableData(f"{database} is damaged, so no backup of it was made. {faults[0]}")


def _write(snapshot: Path, files_dir: Path, part: Path, why: str, now: datetime) -> Manifest:
    with integrity.opened(snapshot) as connection:
        facts, owned = integrity.file_facts(connection), owned_hashes(connection)
    if facts is None:
        raise UnusableData(f"{snapshot.name} is not a garage notebook's file; no backup was made.")
    faults: list[str] = []
    entries: list[Entry] = []
    with zipfile.ZipFile(part, "w", compresslevel=1) as archive:
        entries.append(add_file(archive, DATABASE_NAME, snapshot, packed=True))
        missing = set(owned)
        for stored in stored_files(files_dir):
            if stored.sha256 not in owned:
                continue
            entry = add_file(archive, stored.name, stored.path, packed=False)
            entries.append(entry)
            if not stored.is_made_of_it:
                missing.discard(stored.sha256)
                if entry.sha256 != stored.sha256:
                    faults.append(f"{stored.name} was damaged already when the backup was made.")
        faults += [f"A file was missing already when the backup was made: {sha256}" for sha256 in sorted(missing)]
        made_at = now.astimezone(UTC).replace(microsecond=0, tzinfo=None).isoformat() + "Z"
        manifest = Manifest(made_at, why, facts.revision, facts.is_demo, tuple(entries), tuple(faults))
        add_manifest(archive, manifest)
    return manifest


def _refuse_if_too_full(data_dir: Path, folder: Path) -> None:
    wanted = sum(path.stat().st_size for path in _content(data_dir)) + _ROOM_TO_SPARE
    free = shutil.disk_usage(folder).free
    if free < wanted:
        raise UnusableData(
            f"No backup could be made in {folder}: it needs {wanted // 1_000_000} MB, {free // 1_000_000} MB are free."
        )


def _content(data_dir: Path) -> Iterable[Path]:
    yield data_dir / DATABASE_NAME
    yield from (stored.path for stored in stored_files(data_dir / FILES_NAME))
