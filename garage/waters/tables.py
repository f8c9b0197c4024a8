"""Waters, and the days at them."""

from typing import TYPE_CHECKING

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field

from garage.db.columns import number_check, utc_check
from garage.fields.table import FieldTable, own_values_column
from garage.waters.fields import FIELDS, OUTING_FIELDS, RETIREMENT_FIELDS


class Water(FieldTable, table=True, fields=(*FIELDS, *RETIREMENT_FIELDS)):
    """A place to run, with that water's own rules."""

    __table_args__ = (UniqueConstraint("name"), number_check("speed_limit_kmh", 0, 500))

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        name: str
        speed_limit_kmh: float | None
        hours: str
        electric_allowed: str
        course_m: float | None
        notes: str
        retired_on: str
        retired_how: str
        retired_reason: str


class Outing(FieldTable, table=True, fields=OUTING_FIELDS):
    """A day on the water. Open until it is closed."""

    __table_args__ = (Index("ix_outing_started_at", "started_at"), utc_check("started_at"), utc_check("closed_at"))

    id: int = Field(default=None, primary_key=True)
    water_id: int = Field(foreign_key="water.id", index=True)
    started_at: str
    offset_min: int = 0
    closed_at: str | None = Field(default=None, index=True)
    set_aside_at: str | None = None
    created_at: str
    own_values: str = own_values_column()

    if TYPE_CHECKING:
        air_c: float | None
        water_c: float | None
        wind_ms: float | None
        gust_ms: float | None
        wind_from_deg: float | None
        wind_to_course: str
        surface: str
        sun: str
        notes: str
