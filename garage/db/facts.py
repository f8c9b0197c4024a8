"""Facts about the file itself, by name."""

from sqlmodel import Session

from garage.db.tables import Fact


def fact(session: Session, name: str) -> str:
    """The fact called `name`, or ''."""
    row = session.get(Fact, name)
    return row.value if row else ""


def keep_fact(session: Session, name: str, value: str) -> None:
    """Write down one fact."""
    session.merge(Fact(name=name, value=value))
