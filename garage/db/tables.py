"""Facts about the file itself: whether it is the demo, when it was begun; and the last acts of a person."""

from sqlmodel import Field, SQLModel

from garage.db import columns  # noqa: F401  (the naming convention must stand before any table)


class Fact(SQLModel, table=True):
    """One fact about the file, by name."""

    name: str = Field(primary_key=True)
    value: str


class LastAct(SQLModel, table=True):
    """One of the last acts. `changes` is JSON: rows added and values changed; '' if it cannot be taken back so."""

    __tablename__ = "last_act"

    id: int = Field(default=None, primary_key=True)
    said: str
    back_to: str
    changes: str
    at: str
    taken_back_at: str | None = None
