"""Packs, their own log of discharges, their resistance readings, and sets of packs used together."""

from typing import TYPE_CHECKING

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.table import FieldTable, own_values_column
from garage.packs.fields import ENTRIES, FIELDS, LOG_FIELDS, READING_FIELDS, RETIREMENT_FIELDS, SET_FIELDS

LOG_KINDS = ("run", *(kind for kind, _ in ENTRIES))
# Each of these empties a pack once, and is put back by one charge: what the trade counts.
DISCHARGES = ("run", "bench", "capacity")


class Pack(FieldTable, table=True, fields=(*FIELDS, *RETIREMENT_FIELDS)):
    """One physical pack. How it stands (fresh, breaking in, in service) follows from its log, never from a
    cell here."""

    __table_args__ = (number_check("break_in_c", 0, 100), utc_check("created_at"))

    id: int = Field(default=None, primary_key=True)
    damage: str = ""
    created_at: str
    own_values: str = own_values_column()

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        code: str
        name: str
        cells_s: int
        cells_p: int
        capacity_mah: float
        capacity_measured_mah: float | None
        stated_c: float | None
        full_v_per_cell: float
        mass_g: float | None
        connector: str
        bought_on: str
        first_charged_on: str
        charges_before: int
        break_in_charges: int
        break_in_c: float | None
        limit_mohm: float | None
        notes: str
        retired_on: str
        retired_how: str
        retired_reason: str


class PackLog(FieldTable, table=True, fields=LOG_FIELDS):
    """One discharge, charge or look at the resting volts of a pack; a run enters its own here, by `run_id`.
    `volts` is a JSON list per cell."""

    __tablename__ = "pack_log"
    __table_args__ = (
        UniqueConstraint("run_id", "pack_id"),
        Index("ix_pack_log_pack_id_at", "pack_id", "at", "kind", "set_aside_at"),
        choice_check("kind", LOG_KINDS),
        number_check("charge_mah", 0, 100000),
        number_check("temperature_c", -40, 150),
    )

    id: int = Field(default=None, primary_key=True)
    pack_id: int = Field(foreign_key="pack.id")
    offset_min: int = 0
    run_id: int | None = None
    volts: str = ""
    set_aside_at: str | None = None
    created_at: str

    if TYPE_CHECKING:
        at: str
        kind: str
        charge_mah: float | None = None
        current_a: float | None = None
        temperature_c: float | None = None
        note: str = ""


class PackReading(FieldTable, table=True, fields=READING_FIELDS):
    """Internal resistance per cell, with what it means nothing without. `cells_mohm` and `volts`
    (resting) are JSON lists of numbers."""

    __tablename__ = "pack_reading"
    __table_args__ = (Index("ix_pack_reading_pack_id_at", "pack_id", "at"), number_check("temperature_c", -40, 90))

    id: int = Field(default=None, primary_key=True)
    pack_id: int = Field(foreign_key="pack.id")
    offset_min: int = 0
    cells_mohm: str
    volts: str = ""
    set_aside_at: str | None = None
    created_at: str

    if TYPE_CHECKING:
        at: str
        method: str
        instrument: str
        temperature_c: float | None
        state_of_charge_percent: float | None
        rest_min: float | None
        note: str


class PackSet(FieldTable, table=True, fields=SET_FIELDS):
    """Packs used together; the weaker member governs."""

    __tablename__ = "pack_set"
    __table_args__ = (UniqueConstraint("name"),)

    id: int = Field(default=None, primary_key=True)
    retired_on: str = ""
    created_at: str

    if TYPE_CHECKING:
        name: str
        wiring: str


class PackSetMember(SQLModel, table=True):
    """One pack in a set."""

    __tablename__ = "pack_set_member"

    set_id: int = Field(foreign_key="pack_set.id", primary_key=True)
    pack_id: int = Field(foreign_key="pack.id", primary_key=True)
