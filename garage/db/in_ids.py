"""Asking for any number of rows by their ids: SQLite counts bound values, one JSON text is a single one."""

import json
from collections.abc import Iterable
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, bindparam, select, text
from sqlmodel import Session, SQLModel

Row = TypeVar("Row", bound=SQLModel)
# As text: put together of columns it would cost eight times as much, a dozen times on a page.
_LISTED = text("SELECT value FROM json_each(:listed)")


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
    listed = json.dumps(sorted(set(ids)))
    return column.in_(_LISTED.bindparams(bindparam("listed", listed, unique=True)))
