"""Facts about the file itself: whether it is the demo, when it was begun; the last acts of a person, and the forms
that were sent."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from garage.db import columns  # noqa: F401  (the naming convention must stand before any table)


class Fact(SQLModel, table=True):
    """One fact about the file, by name."""

    name: str = Field(primary_key=True)
    value: str


class LastAction(SQLModel, table=True):
    """One of the last acts: the form of that one-time `number`, sent to `path` from the phone `who`, '' for the
    computer itself.

    `changes` is JSON: rows added and values changed; '' if it cannot be taken back so.
    """

    __tablename__ = "last_act"

    id: int = Field(default=None, primary_key=True)
    said: str
    back_to: str
    changes: str
    at: str
    taken_back_at: str | None = None
    path: str = Field(default="", sa_column_kwargs={"server_default": ""})
    who: str = Field(default="", sa_column_kwargs={"server_default": ""})
    number: str = Field(default="", sa_column_kwargs={"server_default": ""})


class SentForm(SQLModel, table=True):
    """A form that was sent to `path` and added something, by its one-time number and the hash of what stood in it.

    `url` is where what it made is seen, `undo` the address that takes it back, `act_id` and `at` those of its act.
    """

    __tablename__ = "sent_form"
    __table_args__ = (CheckConstraint("length(number) = 32", name="number"),)

    number: str = Field(primary_key=True)
    typed: str = Field(primary_key=True)
    path: str
    url: str
    said: str
    undo: str
    act_id: int | None = Field(default=None, index=True)
    at: str
    taken_back_at: str | None = None
