"""How many there are, what they cost, where they lie: one entry per inventory item of any kind."""

from typing import TYPE_CHECKING

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from garage.db.columns import choice_check
from garage.fields.table import FieldTable
from garage.shelf.fields import FIELDS

SHELVED = ("prop", "pack", "part", "supply")


class ShelfEntry(FieldTable, table=True, fields=FIELDS):
    """Quantity, price, place and supplier of one inventory item. `low` is kept by the store at each save."""

    __tablename__ = "shelf_entry"
    __table_args__ = (UniqueConstraint("owner", "owner_id"), choice_check("owner", SHELVED))

    id: int = Field(default=None, primary_key=True)
    owner: str
    owner_id: int
    low: bool = Field(default=False, index=True)

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        quantity: float = 1
        price: float | None = None
        currency: str = ""
        place: str = ""
        reorder_level: float | None = None
        wished: bool = False
        note: str = ""
