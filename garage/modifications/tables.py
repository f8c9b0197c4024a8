"""Modifications and their steps, and materials of one's own."""

from typing import TYPE_CHECKING

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.showing import by_column
from garage.fields.table import FieldTable
from garage.modifications.fields import FIELDS

STEP_ACTIONS = (
    "mark out",
    "cut",
    "shape",
    "bend",
    "bond",
    "fair",
    "sand",
    "seal",
    "paint",
    "drill",
    "tape",
    "fit",
    "weigh",
    "other",
)


# In the order in which the file has them.
_PERMANENCES = tuple(sorted(by_column(FIELDS)["permanence"].values))


class Modification(FieldTable, table=True, fields=FIELDS):
    """Work planned on one hull. Whether it is fitted follows from the hull's changes, not from a cell here."""

    __table_args__ = (choice_check("permanence", _PERMANENCES), utc_check("created_at"))

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id", index=True)
    dropped_at: str | None = None
    dropped_reason: str = ""
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        title: str
        purpose: str
        expected: str
        permanence: str
        trial: bool


class Step(SQLModel, table=True):
    """One step of a modification. `in_change_id` names the change that took it into a build state.

    `adds_mass` is off for a piece that an earlier step has named already, so that it is not weighed twice.
    """

    __table_args__ = (
        Index("ix_step_modification_id_position", "modification_id", "position"),
        Index("ix_step_in_change_id", "in_change_id"),
        choice_check("action", STEP_ACTIONS),
        number_check("position", 0),
        number_check("width_mm", 0, 2000),
        number_check("height_mm", 0, 2000),
        number_check("wall_mm", 0, 200),
        number_check("diameter_mm", 0, 2000),
        number_check("area_mm2", 0, 1000000),
        number_check("length_mm", 0, 10000),
        number_check("count", 1, 1000),
        number_check("density_kg_m3", 1, 25000),
        number_check("cure_h", 0, 10000),
        number_check("cure_temperature_c", -20, 150),
        number_check("coats", 0, 100),
        number_check("minutes_spent", 0, 100000),
        number_check("mass_weighed_g", -50000, 50000),
        utc_check("done_at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    modification_id: int = Field(foreign_key="modification.id")
    position: int
    action: str
    what: str = ""
    material: str = ""
    density_kg_m3: float | None = None
    section: str = ""
    width_mm: float | None = None
    height_mm: float | None = None
    wall_mm: float | None = None
    diameter_mm: float | None = None
    area_mm2: float | None = None
    length_mm: float | None = None
    count: int = 1
    adds_mass: bool = True
    adhesive: str = ""
    cure_h: float | None = None
    cure_temperature_c: float | None = None
    finish: str = ""
    coats: int | None = None
    minutes_spent: float | None = None
    mass_weighed_g: float | None = None
    note: str = ""
    done_at: str | None = None
    set_aside_at: str | None = None
    in_change_id: int | None = Field(default=None, foreign_key="change.id")
    created_at: str


class OwnMaterial(SQLModel, table=True):
    """A material that the person wrote down with its density, to be offered the next time."""

    __tablename__ = "own_material"
    __table_args__ = (number_check("density_kg_m3", 1, 25000), utc_check("created_at"))

    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    density_kg_m3: float
    created_at: str
