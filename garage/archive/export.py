"""Everything in open formats, in one archive: what is written can be read without this program.

about.json            format, version, revision of the schema, rows of each table, each entry's hash
json/<table>.json     every row as it is stored, the source for an import
csv/<table>.csv       the same for spreadsheets
gpx/<log>.gpx         where the boat was, of each log that knows it
files/ab/abcd….jpg    photos, recordings and logs as they are kept, by the hash of their content
"""

import json
import sqlite3
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from sqlmodel import Session, col, select

from garage.archive.gpx import gpx_lines
from garage.archive.rows import columns_of, rows_of, tables_of, write_csv, write_json
from garage.calc.track.track import Track
from garage.db import integrity
from garage.db.backup_file import Entry, add_file, copy_hashed
from garage.db.durable import make_folder, replace
from garage.db.engine import open_engine, reading
from garage.db.owned_files import owned_hashes, stored_files
from garage.errors import UnusableData
from garage.logs.store import track_of
from garage.logs.tables import LogFile
from garage.paths import DATABASE_NAME, FILES_NAME

FORMAT = "garage notebook export"
VERSION = 1
ABOUT_NAME = "about.json"
WORDS = (
    "Everything written in a garage notebook. Columns name their unit (length_mm, speed_kmh); times are UTC with the "
    "clock's offset in minutes beside; a photo, recording or log lies under files/ by the SHA-256 of its content."
)


@dataclass(frozen=True)
class Exported:
    """What went into an archive."""

    rows: dict[str, int]
    entries: list[Entry]


def export(data_dir: Path, target: Path, now: datetime) -> Exported:
    """Write everything in `data_dir` to the archive `target`, as it stands at one moment, or nothing at all.

    Raises UnusableData in words.
    """
    database = data_dir / DATABASE_NAME
    if not database.is_file():
        raise UnusableData(f"There is no garage in {data_dir}.")
    try:
        make_folder(target.parent)
        with tempfile.TemporaryDirectory(prefix=".making-", dir=target.parent) as work:
            part = Path(work) / "export.zip"
            with integrity.opened(database) as connection, zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:
                connection.execute("BEGIN")
                exported = _write(archive, connection, data_dir, now)
            replace(part, target)
    except sqlite3.Error as error:
        raise UnusableData(f"{database} cannot be read: {error}.") from error
    except OSError as error:
        raise UnusableData(f"{target} could not be written: {error.strerror or error}.") from error
    return exported


def _write(archive: zipfile.ZipFile, connection: sqlite3.Connection, data_dir: Path, now: datetime) -> Exported:
    facts = integrity.file_facts(connection)
    if facts is None:
        raise UnusableData(f"{data_dir / DATABASE_NAME} belongs to another program.")
    entries: list[Entry] = []
    rows: dict[str, int] = {}
    for table in tables_of(connection):
        columns = columns_of(connection, table)

        def as_json(out: IO[bytes], table: str = table, columns: list[str] = columns) -> None:
            rows[table] = write_json(out, columns, rows_of(connection, table))

        def as_csv(out: IO[bytes], table: str = table, columns: list[str] = columns) -> None:
            write_csv(out, columns, rows_of(connection, table))

        entries += [_entry(archive, f"json/{table}.json", as_json), _entry(archive, f"csv/{table}.csv", as_csv)]
    for name, track in _tracks(data_dir / DATABASE_NAME):
        entries.append(_entry(archive, name, _gpx_writer(track, name)))
    owned = owned_hashes(connection)
    for stored in stored_files(data_dir / FILES_NAME):
        if stored.sha256 in owned:
            entries.append(add_file(archive, stored.name, stored.path, packed=False))
    told = {
        "format": FORMAT, "version": VERSION, "about": WORDS, "revision": facts.revision, "is_demo": facts.is_demo,
        "made_at": now.astimezone(UTC).replace(microsecond=0, tzinfo=None).isoformat() + "Z",
        "rows": rows, "entries": [asdict(entry) for entry in entries],
    }  # fmt: skip
    archive.writestr(ABOUT_NAME, json.dumps(told, indent=1))
    return Exported(rows, entries)


def _gpx_writer(track: Track, name: str) -> Callable[[IO[bytes]], None]:
    def write(out: IO[bytes]) -> None:
        for line in gpx_lines(track, name):
            out.write(line.encode())

    return write


def _entry(archive: zipfile.ZipFile, name: str, write: Callable[[IO[bytes]], None]) -> Entry:
    info = zipfile.ZipInfo(name)
    info.compress_type = zipfile.ZIP_DEFLATED
    with tempfile.TemporaryFile() as held:
        write(held)
        held.seek(0)
        with archive.open(info, "w", force_zip64=True) as target:
            size, sha256 = copy_hashed(held, target)
    return Entry(name, size, sha256)


def _tracks(database: Path) -> Iterator[tuple[str, Track]]:
    """The tracks of all logs that know where the boat was, one at a time."""
    engine = open_engine(database, read_only=True)
    try:
        with reading(engine) as session:
            for log_id in _log_ids(session):
                row = session.get(LogFile, log_id)
                assert row is not None
                track = track_of(session, row)
                session.expunge_all()
                if track.has_positions:
                    yield f"gpx/log-{log_id}.gpx", track
    finally:
        engine.dispose()


def _log_ids(session: Session) -> list[int]:
    found = session.exec(select(LogFile.id).where(col(LogFile.read_at).is_not(None)).order_by(col(LogFile.id)))
    return [log_id for log_id in found if log_id is not None]
