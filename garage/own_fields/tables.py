"""The fields that a person added to things. What stands in them is kept with each thing."""

from typing import TYPE_CHECKING

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from garage.db.columns import choice_check, utc_check
from garage.fields.table import FieldTable
from garage.own_fields.fields import FIELDS

# What can be given further fields.
THINGS = ("hull", "modification", "pack", "prop", "part", "outing", "run")


class OwnField(FieldTable, table=True, fields=FIELDS):
    """One field of a person's own. `name` is what forms and data call it: made of its first label, and kept."""

    __tablename__ = "own_field"
    __table_args__ = (
        UniqueConstraint("thing", "name"),
        choice_check("thing", THINGS),
        utc_check("set_aside_at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    thing: str
    name: str
    set_aside_at: str | None = None
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        label: str
        hint: str
        kind: str
        unit: str
        choices: str
        low: float | None
        high: float | None
        step: float | None
        prior_percent: float
        evening: bool
