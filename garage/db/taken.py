"""Names and codes that only one thing of a kind may bear, whatever their capitals."""

import json
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from sqlalchemy import func
from sqlmodel import Session, SQLModel, select

from garage.errors import Conflict

Row = TypeVar("Row", bound=SQLModel)


def bearer(session: Session, table: type[Row], column: str, written: str) -> Row | None:
    """The row of `table` whose `column` says `written`, whatever the capitals of plain letters, or None."""
    # Both sides by SQLite's own lower(): Python's also lowers letters such as Ü, and would then miss them.
    same = func.lower(getattr(table, column)) == func.lower(written.strip())
    return session.exec(select(table).where(same)).first()


def bearers(session: Session, table: type[Row], column: str, written: Sequence[str]) -> list[Row | None]:
    """The same for several names, in their order."""
    order = func.json_each(json.dumps([one.strip() for one in written])).table_valued("key", "value")
    same = func.lower(getattr(table, column)) == func.lower(order.c.value)
    found = dict(session.exec(select(order.c.key, table).where(same)).all())
    return [found.get(place) for place in range(len(written))]


def refuse_taken(
    session: Session,
    table: type[Row],
    column: str,
    written: str,
    words: Callable[[Row], str],
    *,
    other_than: int | None = None,
) -> None:
    """Raise Conflict, in the words made of the bearer, when a row other than `other_than` bears `written`."""
    taken: Any = bearer(session, table, column, written)
    if taken is not None and taken.id != other_than:
        raise Conflict(words(taken))
