"""Changes and the build states they lead to."""

from typing import Any

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

PLACES = ("single", "left", "right")


CHANGE_KINDS = ("fit", "take off", "rework", "install", "take out", "set", "damage", "repair")


def _mark() -> Any:
    return Field(default="", sa_column_kwargs={"server_default": ""})


class BuildState(SQLModel, table=True):
    """What is on the boat from `made_at` on: the fold of all changes up to here, as canonical JSON."""

    __tablename__ = "build_state"
    __table_args__ = (
        UniqueConstraint("hull_id", "number"),
        Index("ix_build_state_hull_id_made_at", "hull_id", "made_at"),
        Index("ix_build_state_fingerprint", "fingerprint"),
        Index("ix_build_state_mark", "mark", unique=True),
        number_check("number", 1),
        utc_check("made_at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    number: int
    parent_id: int | None = Field(default=None, foreign_key="build_state.id")
    made_at: str
    offset_min: int = 0
    content: str
    fingerprint: str
    mark: str = _mark()
    note: str = ""
    created_at: str


class Change(SQLModel, table=True):
    """One event in a hull's history. `detail` is a JSON object with all that the state needs to know of it."""

    __table_args__ = (
        Index("ix_change_state_id_position", "state_id", "position"),
        choice_check("kind", CHANGE_KINDS),
        choice_check("place", PLACES),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    state_id: int = Field(foreign_key="build_state.id")
    position: int
    kind: str
    place: str = "single"
    modification_id: int | None = Field(default=None, foreign_key="modification.id", index=True)
    part_id: int | None = Field(default=None, foreign_key="part.id", index=True)
    setting: str = ""
    detail: str = "{}"
    note: str = ""
    created_at: str


class Supersession(SQLModel, table=True):
    """An old state gave way to a new one, because a forgotten change was put in before it. Append-only."""

    id: int = Field(default=None, primary_key=True)
    old_state_id: int = Field(foreign_key="build_state.id", unique=True)
    new_state_id: int = Field(foreign_key="build_state.id", index=True)
    at: str
    why: str = ""


class Fingerprint(SQLModel, table=True):
    """Every fingerprint that a state ever had, each with the mark it was given, so that what is printed on paper still
    leads to the state. Append-only."""

    __table_args__ = (UniqueConstraint("fingerprint", "state_id"), Index("ix_fingerprint_mark", "mark", unique=True))

    id: int = Field(default=None, primary_key=True)
    fingerprint: str = Field(index=True)
    state_id: int = Field(foreign_key="build_state.id")
    mark: str = _mark()
