"""Slips of the pen, mended in the open: what stood there, what stands there now, when and why."""

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, utc_check

CORRECTED = ("state", "change", "step", "run", "outing", "edition")


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
