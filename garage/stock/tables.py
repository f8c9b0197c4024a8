"""Supplies: what is used up rather than used (sheet stock, screws, grease, sealant)."""

from sqlmodel import Field, SQLModel


class Supply(SQLModel, table=True):
    """One kind of supply; how much of it there is stands on the shelf."""

    id: int = Field(default=None, primary_key=True)
    code: str = Field(index=True, unique=True)
    name: str
    counted_in: str = ""
    notes: str = ""
    retired_on: str = Field(default="", index=True)
    created_at: str
