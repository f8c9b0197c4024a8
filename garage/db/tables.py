"""Facts about the file itself: whether it is the demo, when it was begun."""

from sqlmodel import Field, SQLModel

from garage.db import columns  # noqa: F401  (the naming convention must stand before any table)


class Fact(SQLModel, table=True):
    """One fact about the file, by name."""

    name: str = Field(primary_key=True)
    value: str
