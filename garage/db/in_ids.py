"""Asking for any number of rows by their ids: SQLite counts bound values, one JSON text is a single one."""

import json
from collections.abc import Iterable
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, func, select
from sqlmodel import Session, SQLModel

Row = TypeVar("Row", bound=SQLModel)


def rows_by_ids(session: Session, table: type[Row], ids: Iterable[int]) -> dict[int, Row]:
    """Rows by their ids, in that order; only those that the session does not hold are asked for."""
    wanted = sorted(set(ids))
    known = {one: session.identity_map.get(session.identity_key(table, one)) for one in wanted}
    missing = [one for one, row in known.items() if row is None]
    if missing:
        known |= {row.id: row for row in session.scalars(select(table).where(in_(table.id, missing)))}  # type: ignore[attr-defined]
    return {one: row for one, row in known.items() if row is not None}


def in_(column: Any, ids: Iterable[int]) -> ColumnElement[bool]:
    """Whether `column` holds one of `ids`, however many there are."""
    listed = func.json_each(json.dumps(sorted(set(ids)))).table_valued("value")
    return column.in_(select(listed.c.value))
