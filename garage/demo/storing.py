"""Stores the demo garage that ships with the program: builds it from its story and packs it into one file.

    python -m garage.demo.storing

To be run after every change of the story, of how it is simulated, or of the schema; the same story gives the same
file. Nothing of it runs when the demo is served.
"""

import re
import sqlite3
import tempfile
import zipfile
from pathlib import Path

from garage.db import integrity
from garage.db.backup_file import Manifest, add_file, add_manifest
from garage.db.durable import make_folder, written
from garage.db.made_anew import GUARDS, SEARCH
from garage.db.migrate import HEAD
from garage.db.owned_files import stored_files
from garage.demo.build import build_demo
from garage.demo.first_start import STORED_GARAGE
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.schema import TRIGGERS

_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(T[0-9]{2}:[0-9]{2}:[0-9]{2}Z)?")
_END_OF_DAY = "T23:59:59Z"


def store_demo(target: Path) -> None:
    """Build the demo and store it as a backup file at `target`, as of the last moment it tells of."""
    with tempfile.TemporaryDirectory() as work:
        garage, packed = Path(work) / "garage", Path(work) / "garage.zip"
        make_folder(garage)
        build_demo(garage)
        database = garage / DATABASE_NAME
        with integrity.opened(database, writes=True) as connection:
            told_until = _last_moment(connection)
            _slim(connection)
        with zipfile.ZipFile(packed, "w", compresslevel=9) as archive:
            entries = [add_file(archive, DATABASE_NAME, database, packed=True)]
            entries += [add_file(archive, one.name, one.path, packed=True) for one in stored_files(garage / FILES_NAME)]
            add_manifest(archive, Manifest(told_until, "demo", HEAD, True, tuple(entries)))
        with written(target) as file:
            file.write(packed.read_bytes())


def _last_moment(connection: sqlite3.Connection) -> str:
    """The last moment of all columns that hold one; a day counts to its end."""
    found = ""
    for (table,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
        for row in connection.execute(f'SELECT * FROM "{table}"'):
            for value in row:
                if isinstance(value, str) and _MOMENT.fullmatch(value):
                    found = max(found, value if "T" in value else value + _END_OF_DAY)
    return found


def _slim(connection: sqlite3.Connection) -> None:
    """Leave out what is made at the first start, when the dates stand: guards and full text."""
    for trigger in TRIGGERS:
        connection.execute(f"DROP TRIGGER {trigger.name}")
    connection.execute("DELETE FROM search_text")
    connection.execute("DELETE FROM fact WHERE name IN (?, ?)", (GUARDS, SEARCH))
    connection.execute("INSERT INTO search_text(search_text) VALUES ('optimize')")
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.execute("VACUUM")


if __name__ == "__main__":
    store_demo(STORED_GARAGE)
    print(f"{STORED_GARAGE}: {STORED_GARAGE.stat().st_size / 1e6:.2f} MB")
