"""A garage many times as large: every row of every table copied, each copy with ids and names of its own."""

import sqlite3
from collections.abc import Iterable
from pathlib import Path

from garage.schema import THINGS, TRIGGERS
from garage.search.triggers import refill

# Own fields belong to the notebook: what stands in them is copied with its rows.
_FIXED = {"fact", "preference", "alembic_version", "device", "own_field"}
# Columns that point at rows without a foreign key saying so.
_LOOSE_POINTERS = {
    ("pack_log", "run_id"),
    ("attachment", "owner_id"),
    ("correction", "owner_id"),
    ("shelf_entry", "owner_id"),
    ("loan", "owner_id"),
}


def enlarge(database: Path, times: int) -> None:
    """Make the garage in `database` `times` as large, in place. Hulls, packs and all else are multiplied alike."""
    with sqlite3.connect(database, isolation_level=None) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA synchronous = OFF")
        connection.execute("BEGIN")
        for trigger in TRIGGERS:
            connection.execute(f"DROP TRIGGER {trigger.name}")
        tables = [
            row[0]
            for row in connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' AND sql NOT LIKE '%VIRTUAL%'"
            )
            if row[0] not in _FIXED and not row[0].startswith(("search_text", "sqlite_"))
        ]
        step = 1 + max(
            connection.execute(f"SELECT coalesce(max(id), 0) FROM {table}").fetchone()[0]
            for table in tables
            if any(column[1] == "id" for column in connection.execute(f"PRAGMA table_info({table})"))
        )
        for table in tables:
            columns = list(_copied_columns(connection, table))
            names = ", ".join(f'"{name}"' for name, _expression in columns)
            values = ", ".join(expression for _name, expression in columns)
            for copy in range(1, times):
                connection.execute(
                    f"INSERT INTO {table} ({names}) SELECT {values} FROM {table} WHERE rowid <= :last",
                    {"shift": copy * step, "copy": f" {copy}", "last": _last_rowid(connection, table, copy)},
                )
        for statement in refill(THINGS):
            connection.execute(statement)
        for trigger in TRIGGERS:
            connection.execute(trigger.statement)
        connection.execute("COMMIT")
        connection.execute("ANALYZE")


_first_rowids: dict[str, int] = {}


def _last_rowid(connection: sqlite3.Connection, table: str, copy: int) -> int:
    """The last row that was there before copying began."""
    if copy == 1:
        _first_rowids[table] = connection.execute(f"SELECT coalesce(max(rowid), 0) FROM {table}").fetchone()[0]
    return _first_rowids[table]


def _copied_columns(connection: sqlite3.Connection, table: str) -> Iterable[tuple[str, str]]:
    pointers = {row[3] for row in connection.execute(f"PRAGMA foreign_key_list({table})")}
    unique = {
        names[0]
        for index in connection.execute(f"PRAGMA index_list({table})")
        if index[2] and len(names := [row[2] for row in connection.execute(f"PRAGMA index_info({index[1]})")]) == 1
    }
    for column in connection.execute(f"PRAGMA table_info({table})"):
        name, kind = column[1], column[2].upper()
        if name == "id" or name in pointers or (table, name) in _LOOSE_POINTERS:
            yield name, f"{name} + :shift"
        elif name in unique and "CHAR" in kind:
            yield name, f"{name} || :copy"
        else:
            yield name, f'"{name}"'
