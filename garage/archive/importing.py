"""An archive of everything taken into an empty garage: the same rows, the same files, the same pages."""

import json
import re
import sqlite3
import tempfile
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from garage.archive.export import ABOUT_NAME, FORMAT, VERSION
from garage.archive.rows import LEFT_OUT, columns_of, read_json, tables_of
from garage.db import integrity
from garage.db.backup_file import DAMAGED, Entry, copy_hashed
from garage.db.durable import make_folder, written
from garage.db.engine import APPLICATION_ID, open_engine
from garage.db.migrate import bring_up_to_date, make_file
from garage.db.owned_files import is_store_name
from garage.db.restore import add_files, put_in_place
from garage.errors import UnusableData
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.schema import THINGS, TRIGGERS
from garage.search.triggers import refill

# What may stand in a garage that counts as empty.
_MAY_STAND = ("fact", "preference", "sent_form", *LEFT_OUT)
_ENTRY_NAME = re.compile(r"(json/[a-z_]+\.json|csv/[a-z_]+\.csv|gpx/[a-z0-9-]+\.gpx|files/[0-9a-f]{2}/[^/\\]+)")
_MOST_ABOUT_BYTES = 200_000_000


@dataclass(frozen=True)
class TakenIn:
    """What came in: rows by table, and how many files."""

    rows: dict[str, int]
    files: int


def take_in(archive_path: Path, data_dir: Path) -> TakenIn:
    """Make the garage that was exported to `archive_path` in `data_dir`, which the caller holds.

    Raises UnusableData in words, with nothing changed, if the archive is damaged or foreign, or if the garage
    there is not empty.
    """
    _refuse_if_not_empty(data_dir / DATABASE_NAME)
    try:
        make_folder(data_dir / FILES_NAME)
        with (
            tempfile.TemporaryDirectory(prefix=".restoring-", dir=data_dir) as work,
            zipfile.ZipFile(archive_path) as archive,
        ):
            about = _about(archive, archive_path)
            entries = {entry.name: entry for entry in about["entries"]}
            files = _unpack_files(archive, entries, Path(work))
            new = Path(work) / DATABASE_NAME
            rows = _make(archive, entries, about, new)
            add_files(Path(work), data_dir / FILES_NAME)
            put_in_place(new, data_dir / DATABASE_NAME)
    except FileNotFoundError as error:
        raise UnusableData(f"There is no file {archive_path}.") from error
    except (zipfile.BadZipFile, zlib.error, EOFError) as error:
        raise UnusableData(f"{archive_path} is no archive of this notebook, or it is damaged.") from error
    except OSError as error:
        raise UnusableData(f"{archive_path} could not be taken in: {error.strerror or error}.") from error
    return TakenIn(rows, files)


def _refuse_if_not_empty(database: Path) -> None:
    if not database.exists():
        return
    try:
        with integrity.opened(database) as connection:
            if integrity.file_facts(connection) is None:
                raise UnusableData(f"{database} belongs to another program; nothing was changed.")
            for table in tables_of(connection):
                if table not in _MAY_STAND and connection.execute(f'SELECT 1 FROM "{table}" LIMIT 1').fetchone():
                    raise UnusableData(
                        f"The garage in {database.parent} is not empty; everything is taken into an empty one only. "
                        "Name another folder with --data."
                    )
    except sqlite3.Error as error:
        raise UnusableData(f"{database} cannot be read: {error}.") from error


def _about(archive: zipfile.ZipFile, path: Path) -> dict[str, Any]:
    foreign = UnusableData(f"{path} is not an archive of this notebook; nothing was changed.")
    try:
        if archive.getinfo(ABOUT_NAME).file_size > _MOST_ABOUT_BYTES:
            raise foreign
        about = json.loads(archive.read(ABOUT_NAME))
        if about.get("format") != FORMAT:
            raise foreign
        if about["version"] > VERSION or about["revision"] not in integrity.known_revisions():
            raise UnusableData(f"{path} was made by a newer version of this program; nothing was changed.")
        entries = [Entry(str(e["name"]), int(e["size_bytes"]), str(e["sha256"])) for e in about["entries"]]
        rows = {str(table): int(count) for table, count in about["rows"].items()}
    except DAMAGED as error:
        raise foreign from error
    if not all(_ENTRY_NAME.fullmatch(entry.name) for entry in entries):
        raise foreign
    return about | {"entries": entries, "rows": rows}


def _unpack_files(archive: zipfile.ZipFile, entries: dict[str, Entry], work: Path) -> int:
    count = 0
    for entry in entries.values():
        name = entry.name.rpartition("/")[2]
        if entry.name.startswith("files/") and is_store_name(name) is not None:
            try:
                with archive.open(entry.name) as source, written(work / name) as target:
                    _hold_against(entry, copy_hashed(source, target, entry.size_bytes))
            except DAMAGED as error:
                raise UnusableData(f"The archive is damaged at {entry.name}; nothing was changed.") from error
            count += 1
    return count


def _hold_against(entry: Entry, found: tuple[int, str]) -> None:
    if found != (entry.size_bytes, entry.sha256):
        raise UnusableData(f"The archive is damaged at {entry.name}; nothing was changed.")


def _make(archive: zipfile.ZipFile, entries: dict[str, Entry], about: dict[str, Any], new: Path) -> dict[str, int]:
    engine = open_engine(new)
    make_file(engine, new, about["revision"])
    engine.dispose()
    with integrity.opened(new, writes=True) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("BEGIN")
        try:
            rows = {table: _fill(connection, archive, entries, table) for table in tables_of(connection)}
        except (sqlite3.Error, OverflowError, *DAMAGED) as error:
            raise UnusableData(f"The archive does not hold together ({error}); nothing was changed.") from error
        connection.execute("COMMIT")
        faults = integrity.file_faults(connection)
    wanted = {table: count for table, count in about["rows"].items() if count}
    if faults or {table: count for table, count in rows.items() if count} != wanted:
        raise UnusableData(f"The archive does not hold together; nothing was changed. {' '.join(faults[:1])}".strip())
    _finish(new)
    return rows


def _fill(connection: sqlite3.Connection, archive: zipfile.ZipFile, entries: dict[str, Entry], table: str) -> int:
    """Write the rows of one table; a table that the archive does not know stays empty."""
    entry = entries.get(f"json/{table}.json")
    if entry is None:
        return 0
    with archive.open(entry.name) as source:
        _hold_against(entry, copy_hashed(source, None, entry.size_bytes))
    columns = columns_of(connection, table)
    statement = (
        f'INSERT INTO "{table}" ({", ".join(chr(34) + name + chr(34) for name in columns)}) '
        f"VALUES ({', '.join('?' * len(columns))})"
    )
    count = 0
    with archive.open(entry.name) as source:
        for row in read_json(source):
            if set(row) != set(columns):
                raise ValueError(f"a row of {table} has other columns")
            connection.execute(statement, [row[name] for name in columns])
            count += 1
    return count


def _finish(new: Path) -> None:
    """Bring the new file up to date, with its guards and its full text."""
    engine = open_engine(new)
    try:
        bring_up_to_date(engine, new, TRIGGERS)
    finally:
        engine.dispose()
    with integrity.opened(new, writes=True) as connection:
        connection.execute("BEGIN")
        for statement in refill(THINGS):
            connection.execute(statement)
        for trigger in TRIGGERS:
            connection.execute(f"DROP TRIGGER IF EXISTS {trigger.name}")
            connection.execute(trigger.statement)
        connection.execute("COMMIT")
        connection.execute("PRAGMA journal_mode = DELETE")
