"""Supplies: what is used up rather than used (sheet stock, screws, grease, sealant)."""

from typing import TYPE_CHECKING

from sqlmodel import Field

from garage.fields.table import FieldTable
from garage.stock.fields import FIELDS, RETIREMENT_FIELDS


class Supply(FieldTable, table=True, fields=(*FIELDS, *RETIREMENT_FIELDS)):
    """One kind of supply; how much of it there is stands on the shelf."""

    id: int = Field(default=None, primary_key=True)
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        code: str
        name: str
        counted_in: str
        notes: str
        retired_on: str
