"""How many there are, what they cost, where they lie, and who has them."""

from typing import TYPE_CHECKING

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field

from garage.db.columns import choice_check, utc_check
from garage.fields.table import FieldTable
from garage.shelf.fields import FIELDS, LOAN_FIELDS

SHELVED = ("hull", "prop", "pack", "part", "supply")
LENDABLE = ("hull", "prop", "pack", "part", "receiver", "instrument", "charger")


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


class Loan(FieldTable, table=True, fields=LOAN_FIELDS):
    """A thing in other hands: from when, until when, and the day it came back, '' while it is away. All loans of a
    thing stay, so that it is known who had it; at most one of them is open."""

    __table_args__ = (
        Index("ix_loan_owner_owner_id", "owner", "owner_id"),
        choice_check("owner", LENDABLE),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    owner: str
    owner_id: int
    set_aside_at: str | None = None
    created_at: str

    if TYPE_CHECKING:
        lent_to: str
        lent_on: str = ""
        lent_until: str = ""
        back_on: str = ""
