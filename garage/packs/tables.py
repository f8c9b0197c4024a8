"""Packs, their own log of discharges, their resistance readings, and sets of packs used together."""

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

LOG_KINDS = ("run", "bench", "capacity", "charge", "storage", "look")
# Each of these empties a pack once, and is put back by one charge: what the trade counts.
DISCHARGES = ("run", "bench", "capacity")
READING_METHODS = ("charger DC step", "AC 1 kHz", "sag in a run", "other")
WIRINGS = ("series", "parallel")
MOST_BREAK_IN = 50


class Pack(SQLModel, table=True):
    """One physical pack. How it stands (fresh, breaking in, in service) follows from its log, never from a
    cell here."""

    __table_args__ = (
        number_check("cells_s", 1, 14),
        number_check("cells_p", 1, 10),
        number_check("capacity_mah", 50, 50000),
        number_check("capacity_measured_mah", 10, 50000),
        number_check("stated_c", 1, 500),
        number_check("full_v_per_cell", 3.5, 4.5),
        number_check("mass_g", 1, 20000),
        number_check("charges_before", 0, 5000),
        number_check("break_in_charges", 0, MOST_BREAK_IN),
        number_check("break_in_c", 0, 100),
        number_check("limit_mohm", 0.05, 150),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    code: str = Field(index=True, unique=True)
    name: str = ""
    cells_s: int
    cells_p: int = 1
    capacity_mah: float
    capacity_measured_mah: float | None = None
    stated_c: float | None = None
    full_v_per_cell: float = 4.2
    mass_g: float | None = None
    connector: str = ""
    bought_on: str = ""
    first_charged_on: str = ""
    charges_before: int = 0
    break_in_charges: int = 4
    break_in_c: float | None = None
    limit_mohm: float | None = None
    notes: str = ""
    damage: str = ""
    retired_on: str = Field(default="", index=True)
    retired_reason: str = ""
    created_at: str


class PackLog(SQLModel, table=True):
    """One discharge, charge or look at the resting volts of a pack; a run enters its own here, by `run_id`.
    `volts` is a JSON list per cell."""

    __tablename__ = "pack_log"
    __table_args__ = (
        UniqueConstraint("run_id", "pack_id"),
        Index("ix_pack_log_pack_id_at", "pack_id", "at", "kind", "set_aside_at"),
        choice_check("kind", LOG_KINDS),
        number_check("charge_mah", 0, 100000),
        number_check("temperature_c", -40, 150),
        utc_check("at"),
    )

    id: int = Field(default=None, primary_key=True)
    pack_id: int = Field(foreign_key="pack.id")
    at: str
    offset_min: int = 0
    kind: str
    charge_mah: float | None = None
    current_a: float | None = None
    temperature_c: float | None = None
    run_id: int | None = None
    volts: str = ""
    note: str = ""
    set_aside_at: str | None = None
    created_at: str


class PackReading(SQLModel, table=True):
    """Internal resistance per cell, with what it means nothing without. `cells_mohm` and `volts`
    (resting) are JSON lists of numbers."""

    __tablename__ = "pack_reading"
    __table_args__ = (
        Index("ix_pack_reading_pack_id_at", "pack_id", "at"),
        choice_check("method", READING_METHODS),
        number_check("temperature_c", -40, 90),
        number_check("state_of_charge_percent", 0, 100),
        number_check("rest_min", 0, 100000),
        utc_check("at"),
    )

    id: int = Field(default=None, primary_key=True)
    pack_id: int = Field(foreign_key="pack.id")
    at: str
    offset_min: int = 0
    cells_mohm: str
    temperature_c: float | None = None
    state_of_charge_percent: float | None = None
    rest_min: float | None = None
    volts: str = ""
    instrument: str = ""
    method: str = "charger DC step"
    note: str = ""
    set_aside_at: str | None = None
    created_at: str


class PackSet(SQLModel, table=True):
    """Packs used together; the weaker member governs."""

    __tablename__ = "pack_set"
    __table_args__ = (choice_check("wiring", WIRINGS),)

    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    wiring: str = "series"
    retired_on: str = ""
    created_at: str


class PackSetMember(SQLModel, table=True):
    """One pack in a set."""

    __tablename__ = "pack_set_member"

    set_id: int = Field(foreign_key="pack_set.id", primary_key=True)
    pack_id: int = Field(foreign_key="pack.id", primary_key=True)
