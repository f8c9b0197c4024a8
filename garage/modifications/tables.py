"""Modifications and their steps, and materials of one's own."""

from typing import TYPE_CHECKING

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.table import FieldTable, own_values_column
from garage.modifications.fields import DENSITY, FIELDS, PERMANENCES, STEP_FIELDS


class Modification(FieldTable, table=True, fields=FIELDS):
    """Work planned on one hull. Whether it is fitted follows from the hull's changes, not from a cell here."""

    __table_args__ = (choice_check("permanence", tuple(sorted(PERMANENCES))), utc_check("created_at"))

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id", index=True)
    dropped_at: str | None = None
    dropped_reason: str = ""
    created_at: str
    own_values: str = own_values_column()

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        title: str
        purpose: str
        expected: str
        permanence: str
        trial: bool


class Step(FieldTable, table=True, fields=STEP_FIELDS):
    """One step of a modification. `in_change_id` names the change that took it into a build state."""

    __table_args__ = (
        Index("ix_step_modification_id_position", "modification_id", "position"),
        Index("ix_step_in_change_id", "in_change_id"),
        number_check("position", 0),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    modification_id: int = Field(foreign_key="modification.id")
    position: int
    set_aside_at: str | None = None
    in_change_id: int | None = Field(default=None, foreign_key="change.id")
    created_at: str

    if TYPE_CHECKING:
        action: str
        what: str
        material: str
        density_kg_m3: float | None
        section: str
        width_mm: float | None
        height_mm: float | None
        wall_mm: float | None
        diameter_mm: float | None
        area_mm2: float | None
        length_mm: float | None
        count: int
        adds_mass: bool
        adhesive: str
        cure_h: float | None
        cure_temperature_c: float | None
        finish: str
        coats: int | None
        minutes_spent: float | None
        mass_weighed_g: float | None
        note: str
        done_at: str | None


class OwnMaterial(SQLModel, table=True):
    """A material that the person wrote down with its density, to be offered the next time."""

    __tablename__ = "own_material"
    __table_args__ = (number_check(DENSITY.column, DENSITY.low, DENSITY.high), utc_check("created_at"))

    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    density_kg_m3: float
    created_at: str
