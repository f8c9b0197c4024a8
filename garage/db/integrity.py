"""Whether a notebook's file is ours, whole and consistent, as far as SQLite itself can tell."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from garage.db.engine import APPLICATION_ID
from garage.db.triggers import PREFIX, Trigger
from garage.paths import MIGRATIONS_DIR

_MOST_NAMED = 20


@dataclass(frozen=True)
class FileFacts:
    """What a file says of itself."""

    revision: str
    is_demo: bool


@contextmanager
def opened(database: Path, *, writes: bool = False) -> Iterator[sqlite3.Connection]:
    """A plain connection to an existing file. Raises sqlite3.OperationalError if there is none."""
    mode = "rw" if writes else "ro"
    address = f"{database.resolve().as_uri()}?mode={mode}"
    connection = sqlite3.connect(address, uri=True, timeout=10, isolation_level=None)
    try:
        yield connection
    finally:
        connection.close()


def known_revisions() -> set[str]:
    """The revisions of the file's format that this program can read or bring up to date."""
    return {path.name.split("_")[0] for path in (MIGRATIONS_DIR / "versions").glob("[0-9]*.py")}


def file_facts(connection: sqlite3.Connection) -> FileFacts | None:
    """What the file says of itself; None if it is not one of ours. Raises sqlite3.DatabaseError for no database."""
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        return None
    revision = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    demo = connection.execute("SELECT value FROM fact WHERE name = 'demo'").fetchone()
    return FileFacts(revision[0] if revision else "", demo == ("yes",))


def file_faults(connection: sqlite3.Connection) -> list[str]:
    """What SQLite finds wrong, in words: damaged pages, and rows that refer to rows that are not there."""
    try:
        said = [row[0] for row in connection.execute(f"PRAGMA integrity_check({_MOST_NAMED})")]
        loose = connection.execute("PRAGMA foreign_key_check").fetchmany(_MOST_NAMED)
    except sqlite3.DatabaseError as error:
        return [f"The file is damaged: {error}."]
    faults = [] if said == ["ok"] else [f"The file is damaged: {line}" for line in said]
    return faults + [f"Row {row[1]} of {row[0]} refers to a row of {row[2]} that is not there." for row in loose]


def trigger_faults(connection: sqlite3.Connection, triggers: Sequence[Trigger]) -> list[str]:
    """Which of the triggers that guard what runs rest on are missing or changed, in words."""
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    there = {name: sql for name, sql in rows if name.startswith(PREFIX)}
    faults = [f"The guard {trigger.name} is missing." for trigger in triggers if trigger.name not in there]
    faults += [
        f"The guard {trigger.name} is not as this program makes it."
        for trigger in triggers
        if there.get(trigger.name, trigger.statement).strip() != trigger.statement.strip()
    ]
    return faults
