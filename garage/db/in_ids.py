"""Asking for any number of rows by their ids: SQLite counts bound values, one JSON text is a single one."""

import json
from collections.abc import Iterable
from typing import Any

from sqlalchemy import ColumnElement, func, select


def in_(column: Any, ids: Iterable[int]) -> ColumnElement[bool]:
    """Whether `column` holds one of `ids`, however many there are."""
    listed = func.json_each(json.dumps(sorted(set(ids)))).table_valued("value")
    return column.in_(select(listed.c.value))
