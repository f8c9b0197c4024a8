"""Drivers, receivers, instruments, chargers and suppliers: one table for each."""

from typing import TYPE_CHECKING

from sqlmodel import Field

from garage.db.columns import utc_check
from garage.fields.table import FieldTable
from garage.inventory.fields import (
    CHARGER_FIELDS,
    DRIVER_FIELDS,
    DRIVER_RETIREMENT_FIELDS,
    INSTRUMENT_FIELDS,
    RECEIVER_FIELDS,
    RETIREMENT_FIELDS,
    SUPPLIER_FIELDS,
    SUPPLIER_RETIREMENT_FIELDS,
)


class Driver(FieldTable, table=True, fields=(*DRIVER_FIELDS, *DRIVER_RETIREMENT_FIELDS)):
    """Who held the sticks."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        name: str
        retired_on: str


class Receiver(FieldTable, table=True, fields=(*RECEIVER_FIELDS, *RETIREMENT_FIELDS)):
    """What receives positions (GPS) or the readings of the boat (telemetry)."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:
        name: str
        rate_hz: float | None
        price: float | None
        currency: str
        retired_on: str


class Instrument(FieldTable, table=True, fields=(*INSTRUMENT_FIELDS, *RETIREMENT_FIELDS)):
    """What something is measured with: thermometer, cell checker, scale, resistance meter."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:
        name: str
        price: float | None
        currency: str
        retired_on: str


class Charger(FieldTable, table=True, fields=(*CHARGER_FIELDS, *RETIREMENT_FIELDS)):
    """What packs are charged with. `in_parallel` is what its maker says."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:
        name: str
        in_parallel: bool
        price: float | None
        currency: str
        retired_on: str


class Supplier(FieldTable, table=True, fields=(*SUPPLIER_FIELDS, *SUPPLIER_RETIREMENT_FIELDS)):
    """Where things were bought."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:
        name: str
        retired_on: str
