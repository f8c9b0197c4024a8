"""Several new rows written with one statement."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import func, select
from sqlmodel import Session, SQLModel


def add_many(session: Session, rows: Sequence[SQLModel], last_id: int | None = None) -> None:
    """Add new rows of one table, numbered here: a number that the file gives is asked back for each row alone.
    `last_id` is the highest number of that table, if it was read."""
    if len(rows) > 1 or last_id is not None:
        if last_id is None:
            table: Any = type(rows[0])
            last_id = session.scalar(select(func.max(table.id))) or 0
        for number, row in enumerate(rows, last_id + 1):
            row.id = number  # type: ignore[attr-defined]
    session.add_all(rows)
    session.flush()
