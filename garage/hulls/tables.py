"""Hulls, and the lists a person goes through before launching each."""

from typing import TYPE_CHECKING

from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.table import FieldTable
from garage.hulls.fields import FIELDS, RETIREMENT_FIELDS

CHECKLISTS = ("launch", "packing")


class Hull(FieldTable, table=True, fields=(*FIELDS, *RETIREMENT_FIELDS)):
    """A physical hull with one history. `screws` is 1, or 2 for a boat that carries two of everything."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        name: str
        kind: str
        length_mm: float | None
        beam_mm: float | None
        deadrise_deg: float | None
        bare_mass_g: float | None
        material: str
        screws: int
        fixed_tube: bool
        built_on: str
        notes: str
        retired_on: str
        retired_how: str
        retired_reason: str


class ChecklistItem(SQLModel, table=True):
    """One line of a hull's list before launch or of its packing list."""

    __tablename__ = "checklist_item"
    __table_args__ = (choice_check("checklist", CHECKLISTS), number_check("position", 0))

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id", index=True)
    checklist: str
    position: int
    text: str
    set_aside_at: str | None = None
