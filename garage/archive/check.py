"""Looking a whole garage over: the file, the guards in it, the files beside it, and every build state anew."""

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import text
from sqlmodel import Session

from garage.archive.fingerprints import state_faults
from garage.db import integrity, owned_files
from garage.db.engine import open_engine, reading
from garage.db.migrate import HEAD
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.schema import TRIGGERS

_MOST_NAMED = 20
# Tables whose rows point at a thing of any kind, which no foreign key can say.
_POINTING = ("attachment", "correction", "shelf_entry")
# Where the tables of things that they point at are not called as the things are.
_TABLES = {"state": "build_state", "edition": "prop_edition", "reading": "pack_reading"}


@dataclass(frozen=True)
class Finding:
    """What was looked at, how much of it, and what is wrong with it in words."""

    what: str
    looked_at: str
    faults: tuple[str, ...] = ()


@dataclass(frozen=True)
class Report:
    """Everything that was looked at; `notes` are worth knowing and no faults."""

    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()

    @property
    def is_good(self) -> bool:
        """Whether nothing is wrong."""
        return not any(finding.faults for finding in self.findings)


def check(data_dir: Path) -> Report:
    """Look the garage in `data_dir` over. Nothing is changed; it may be served meanwhile."""
    database, files_dir = data_dir / DATABASE_NAME, data_dir / FILES_NAME
    if not database.is_file():
        return Report((Finding("the notebook's file", str(database), ("There is no garage here.",)),))
    try:
        with integrity.opened(database) as connection:
            facts = integrity.file_facts(connection)
            if facts is None:
                return Report((Finding("the notebook's file", str(database), ("It belongs to another program.",)),))
            faults = tuple(integrity.file_faults(connection))
            guards = tuple(integrity.trigger_faults(connection, TRIGGERS)) if facts.revision == HEAD else ()
            owned = owned_files.owned_hashes(connection)
    except sqlite3.Error as error:
        return Report((Finding("the notebook's file", str(database), (f"It cannot be read: {error}.",)),))
    findings = [Finding("the notebook's file", f"{database.stat().st_size / 1e6:.1f} MB", faults)]
    if facts.revision == HEAD:
        findings.append(Finding("guards", str(len(TRIGGERS)), guards))
        findings += [_of_rows(database, _states), _of_rows(database, _pointers)] if not faults else []
    files = tuple(owned_files.file_faults(files_dir, owned))
    findings.append(Finding("photos and recordings", str(len(owned)), files))
    return Report(tuple(findings), tuple(_notes(files_dir, owned, facts.revision)))


def _notes(files_dir: Path, owned: set[str], revision: str) -> list[str]:
    notes = [
        f"Nothing refers to {stored.name}; it is moved aside at the next start."
        for stored in owned_files.unowned(files_dir, owned)
    ]
    if revision != HEAD:
        notes.append("The file is of another version of this program: guards and build states were not looked at.")
    return notes[:_MOST_NAMED]


def _of_rows(database: Path, look: Callable[[Session], Finding]) -> Finding:
    engine = open_engine(database, read_only=True)
    try:
        with reading(engine) as session:
            return look(session)
    finally:
        engine.dispose()


def _states(session: Session) -> Finding:
    count, faults = state_faults(session)
    return Finding("build states", str(count), tuple(faults))


def _pointers(session: Session) -> Finding:
    """Notes, corrections and shelf entries belong to things that are there; a run's boat is that of its state."""
    faults, looked_at = [], 0
    for table in _POINTING:
        looked_at += session.connection().execute(text(f"SELECT count(*) FROM {table}")).scalar_one()
        owners = session.connection().execute(text(f"SELECT DISTINCT owner FROM {table} WHERE owner <> ''"))
        for owner in owners.scalars().all():
            rows = session.connection().execute(
                text(
                    f"SELECT p.id FROM {table} p WHERE p.owner = :owner AND NOT EXISTS "
                    f'(SELECT 1 FROM "{_TABLES.get(owner, owner)}" t WHERE t.id = p.owner_id) LIMIT {_MOST_NAMED}'
                ),
                {"owner": owner},
            )
            faults += [f"Row {row[0]} of {table} belongs to a {owner} that is not there." for row in rows]
    strayed = session.connection().execute(
        text("SELECT r.id FROM run r JOIN build_state s ON s.id = r.state_id WHERE s.hull_id <> r.hull_id LIMIT 20")
    )
    faults += [f"Run {row[0]} stands on a build state of another hull." for row in strayed]
    return Finding("notes, corrections and shelf entries", str(looked_at), tuple(faults))
