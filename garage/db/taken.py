"""Names and codes that only one thing of a kind may bear, whatever their capitals."""

from collections.abc import Callable
from typing import Any

from sqlalchemy import func
from sqlalchemy.orm import InstrumentedAttribute
from sqlmodel import Session, select

from garage.errors import Conflict


def bearer(session: Session, column: InstrumentedAttribute[str], written: str) -> Any | None:
    """The row whose `column` says `written`, whatever the capitals of the plain letters, or None."""
    # Both sides by SQLite's own lower(): Python's also lowers letters such as Ü, and would then miss them.
    same = func.lower(column) == func.lower(written.strip())
    return session.exec(select(column.class_).where(same)).first()


def refuse_taken(
    session: Session,
    column: InstrumentedAttribute[str],
    written: str,
    words: Callable[[Any], str],
    *,
    other_than: int | None = None,
) -> None:
    """Raise Conflict, in the words made of the bearer, when a row other than `other_than` bears `written`."""
    taken = bearer(session, column, written)
    if taken is not None and taken.id != other_than:
        raise Conflict(words(taken))
