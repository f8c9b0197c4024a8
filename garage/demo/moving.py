"""The demo moved in time by whole days: every date in every row and in the logs beside it, by one rule.

Clock times stay as they are, and so do the offsets of the clocks: what was done on a morning was done on a morning.
"""

import hashlib
import re
import sqlite3
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from garage.db.durable import give_name, written
from garage.db.owned_files import stored_files
from garage.moments import MONTHS, day_text
from garage.states.fold import fingerprint, read_content

_AS_STORED = re.compile(r"(?<![0-9])((?:19|20)[0-9]{2}-[0-9]{2}-[0-9]{2})(?![0-9])")
_IN_WORDS = re.compile(rf"\b([0-9]{{1,2}}) ({'|'.join(MONTHS)}) ((?:19|20)[0-9]{{2}})\b")
# A number that is a moment says so in the name of its column.
_SECONDS_ENDING, _SECONDS_A_DAY = "_unix_s", 86_400
# Of the files beside the rows only logs tell dates; pictures are left as they are.
_LOG_ENDING = ".log"


def move_in_time(connection: sqlite3.Connection, files_dir: Path, days: int) -> None:
    """Move a garage without triggers by so many days. The caller holds the transaction, and sees to the full text."""
    if not days:
        return
    renamed = _move_logs(files_dir, days)
    named = "SELECT name FROM sqlite_master WHERE type = 'table' AND sql NOT LIKE '%VIRTUAL TABLE%'"
    for (table,) in connection.execute(f"{named} AND name NOT LIKE 'search_text%'").fetchall():
        _move_rows(connection, table, days, renamed)
    _tell_states_anew(connection)


def moved_text(text: str, days: int) -> str:
    """A text with its dates moved, written `2026-05-30` or `30 May 2026`; anything else is no date."""

    def as_stored(found: re.Match) -> str:
        return _later(found[1], days) or found[0]

    def in_words(found: re.Match) -> str:
        day = f"{found[3]}-{MONTHS.index(found[2]) + 1:02}-{int(found[1]):02}"
        later = _later(day, days)
        return day_text(later) if later else found[0]

    return _IN_WORDS.sub(in_words, _AS_STORED.sub(as_stored, text))


def _later(day: str, days: int) -> str:
    try:
        return (date.fromisoformat(day) + timedelta(days=days)).isoformat()
    except ValueError:
        return ""  # Digits that look like a date and are none.


def _move_logs(files_dir: Path, days: int) -> dict[str, str]:
    """Move the dates in the logs. A file is called after its content, so it gets a new name: old name to new."""
    renamed = {}
    for stored in list(stored_files(files_dir)):
        if stored.path.suffix != _LOG_ENDING:
            continue
        content = moved_text(stored.path.read_text(encoding="utf-8"), days).encode()
        sha256 = hashlib.sha256(content).hexdigest()
        if sha256 != stored.sha256:
            part = stored.path.with_suffix(".part")
            with written(part) as file:
                file.write(content)
            give_name(part, files_dir / sha256[:2] / f"{sha256}{_LOG_ENDING}")
            stored.path.unlink()
            renamed[stored.sha256] = sha256
    return renamed


def _move_rows(connection: sqlite3.Connection, table: str, days: int, renamed: Mapping[str, str]) -> None:
    names = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
    for rowid, *values in connection.execute(f'SELECT rowid, * FROM "{table}"').fetchall():
        moved = [_moved(name, value, days, renamed) for name, value in zip(names, values, strict=True)]
        changed = [place for place, value in enumerate(moved) if value != values[place]]
        if changed:
            sets = ", ".join(f'"{names[place]}" = ?' for place in changed)
            connection.execute(f'UPDATE "{table}" SET {sets} WHERE rowid = ?', [*(moved[i] for i in changed), rowid])


def _moved(column: str, value: Any, days: int, renamed: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return renamed.get(value) or moved_text(value, days)
    if isinstance(value, (int, float)) and column.endswith(_SECONDS_ENDING):
        return value + days * _SECONDS_A_DAY
    return value


def _tell_states_anew(connection: sqlite3.Connection) -> None:
    """The fingerprint of each state as its content is now, wherever it is written."""
    for number, content, before in connection.execute("SELECT id, content, fingerprint FROM build_state").fetchall():
        now = fingerprint(read_content(content))
        if now != before:
            connection.execute("UPDATE build_state SET fingerprint = ? WHERE id = ?", (now, number))
            connection.execute(
                "UPDATE fingerprint SET fingerprint = ? WHERE fingerprint = ? AND state_id = ?", (now, before, number)
            )
