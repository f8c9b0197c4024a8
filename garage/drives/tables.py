"""Drives: motors, speed controllers, shafts, struts, rudders and other hardware installed at a place."""

from typing import TYPE_CHECKING

from sqlmodel import Field

from garage.db.columns import utc_check
from garage.drives.fields import FIELDS, RETIREMENT_FIELDS
from garage.fields.table import FieldTable, own_values_column


class Part(FieldTable, table=True, fields=(*FIELDS, *RETIREMENT_FIELDS)):
    """One piece of hardware. Figures that its kind does not have stay empty."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str
    own_values: str = own_values_column()

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        code: str
        kind: str
        name: str
        kv_stated: float | None
        kv_measured: float | None
        resistance_mohm: float | None
        no_load_current_a: float | None
        mass_g: float | None
        retired_on: str
        retired_how: str
        retired_reason: str
