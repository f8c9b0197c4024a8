"""Slips of the pen, mended in the open: what stood there, what stands there now, when and why."""

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, utc_check

CORRECTED = (
    "state", "change", "step", "run", "outing", "edition", "modification", "pack", "pack_log", "reading", "prop",
    "water", "part",
)  # fmt: skip
# Things of which two may turn out to be one.
MAY_BE_SAME = ("pack", "prop", "edition", "water", "part")


class Mending(SQLModel, table=True):
    """Something that was otherwise, put right in one go: what was done in one line, and every step of it as JSON, so
    that it can be taken back. Append-only; one that takes another back names it."""

    __table_args__ = (utc_check("at"),)

    id: int = Field(default=None, primary_key=True)
    kind: str
    said: str
    why: str = ""
    steps: str
    who: str = ""
    at: str
    takes_back_id: int | None = Field(default=None, foreign_key="mending.id", unique=True, index=True)


class Correction(SQLModel, table=True):
    """One mended field of one row. For frozen rows it is an overlay; elsewhere the record of an edit. Append-only."""

    __table_args__ = (
        Index("ix_correction_owner_owner_id", "owner", "owner_id"),
        choice_check("owner", CORRECTED),
        utc_check("at"),
    )

    id: int = Field(default=None, primary_key=True)
    owner: str
    owner_id: int
    field: str
    old: str
    new: str
    why: str = ""
    at: str
    mending_id: int | None = Field(default=None, foreign_key="mending.id")


class SameThing(SQLModel, table=True):
    """Two things of one kind that were one all along: the one that is gone stands for the one that is kept, until they
    are parted again. The row of the one that is gone stays, with its name."""

    __tablename__ = "same_thing"
    __table_args__ = (
        Index("ix_same_thing_gone", "kind", "gone_id", unique=True, sqlite_where=text("parted_at IS NULL")),
        choice_check("kind", MAY_BE_SAME),
        utc_check("at"),
        utc_check("parted_at"),
        CheckConstraint("gone_id <> kept_id", name="two"),
    )

    id: int = Field(default=None, primary_key=True)
    kind: str
    gone_id: int
    kept_id: int = Field(index=True)
    why: str = ""
    at: str
    parted_at: str | None = None
    mending_id: int | None = Field(default=None, foreign_key="mending.id")
