"""Waters, and the days at them."""

from typing import TYPE_CHECKING

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.table import FieldTable
from garage.waters.fields import FIELDS, SUNS, SURFACES, WIND_TO_COURSE


class Water(FieldTable, table=True, fields=FIELDS):
    """A place to run, with that water's own rules."""

    __table_args__ = (UniqueConstraint("name"), number_check("speed_limit_kmh", 0, 500))

    id: int = Field(default=None, primary_key=True)
    retired_on: str = ""
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        name: str
        speed_limit_kmh: float | None
        hours: str
        electric_allowed: str
        course_m: float | None


class Outing(SQLModel, table=True):
    """A day on the water. Open until it is closed."""

    __table_args__ = (
        Index("ix_outing_started_at", "started_at"),
        number_check("air_c", -30, 55),
        number_check("water_c", -3, 45),
        number_check("wind_ms", 0, 40),
        number_check("gust_ms", 0, 60),
        number_check("wind_from_deg", 0, 360),
        choice_check("wind_to_course", ("", *WIND_TO_COURSE)),
        choice_check("surface", ("", *SURFACES)),
        choice_check("sun", ("", *SUNS)),
        utc_check("started_at"),
        utc_check("closed_at"),
    )

    id: int = Field(default=None, primary_key=True)
    water_id: int = Field(foreign_key="water.id", index=True)
    started_at: str
    offset_min: int = 0
    air_c: float | None = None
    water_c: float | None = None
    wind_ms: float | None = None
    gust_ms: float | None = None
    wind_from_deg: float | None = None
    wind_to_course: str = ""
    surface: str = ""
    sun: str = ""
    weed: str = ""
    notes: str = ""
    closed_at: str | None = Field(default=None, index=True)
    set_aside_at: str | None = None
    created_at: str
