"""Rows as open text: JSON with a row on each line, and CSV for spreadsheets. What is not a number or text is base64."""

import base64
import csv
import io
import json
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from typing import IO, Any

from garage.web.representations import spreadsheet_text

# Rows that are of this machine alone: phones let in, what can be taken back, and the file's own version.
LEFT_OUT = ("device", "last_act", "alembic_version")
_BYTES = "base64"


def tables_of(connection: sqlite3.Connection) -> list[str]:
    """Every table that holds what a person wrote, or what follows from it; not those of the full-text search."""
    rows = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' "
        "AND name NOT LIKE 'search_text%' ORDER BY name"
    )
    return [name for (name,) in rows.fetchall() if name not in LEFT_OUT]


def columns_of(connection: sqlite3.Connection, table: str) -> list[str]:
    """The columns of a table, in their order."""
    return [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]


def rows_of(connection: sqlite3.Connection, table: str) -> Iterator[tuple]:
    """The rows of a table in the order in which they were written."""
    return connection.execute(f'SELECT * FROM "{table}" ORDER BY rowid')


def write_json(target: IO[bytes], columns: Sequence[str], rows: Iterable[tuple]) -> int:
    """A JSON list with a row on each line, so that it need not be read at once; how many rows."""
    count = 0
    target.write(b"[")
    for row in rows:
        told = {name: _told(value) for name, value in zip(columns, row, strict=True)}
        target.write(b",\n" if count else b"\n")
        target.write(json.dumps(told, ensure_ascii=False, allow_nan=False).encode())
        count += 1
    target.write(b"\n]\n")
    return count


def read_json(source: IO[bytes]) -> Iterator[dict[str, Any]]:
    """The rows that `write_json` wrote, one after the other. Raises ValueError for anything else."""
    lines = iter(source)
    if next(lines, b"").strip() != b"[":
        raise ValueError("no list of rows")
    for line in lines:
        text = line.strip().removesuffix(b",")
        if text == b"]":
            return
        if not text:
            continue
        row = json.loads(text)
        if not isinstance(row, dict):
            raise ValueError("a row that is none")
        yield {name: _read(value) for name, value in row.items()}
    raise ValueError("the list of rows breaks off")


def write_csv(target: IO[bytes], columns: Sequence[str], rows: Iterable[tuple]) -> None:
    """The same rows for a spreadsheet. Packed columns are left to the JSON."""
    out = io.TextIOWrapper(target, encoding="utf-8-sig", newline="", write_through=True)
    writer = csv.writer(out)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    out.flush()
    out.detach()


def _told(value: Any) -> Any:
    return {_BYTES: base64.b64encode(value).decode()} if isinstance(value, bytes) else value


def _read(value: Any) -> Any:
    if isinstance(value, dict):
        return base64.b64decode(value[_BYTES], validate=True)
    if isinstance(value, (str, int, float)) or value is None:
        return value
    raise ValueError("a value that no column holds")


def _cell(value: Any) -> Any:
    if isinstance(value, bytes):
        return f"{len(value)} bytes"
    if isinstance(value, str):
        return spreadsheet_text(value)
    return "" if value is None else value
