"""How many there are, what they cost, where they lie: one entry per inventory item of any kind."""

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check

SHELVED = ("prop", "pack", "part", "supply")


class ShelfEntry(SQLModel, table=True):
    """Quantity, price, place and supplier of one inventory item. `low` is kept by the store at each save."""

    __tablename__ = "shelf_entry"
    __table_args__ = (
        UniqueConstraint("owner", "owner_id"),
        Index("ix_shelf_entry_low", "low"),
        Index("ix_shelf_entry_wished", "wished"),
        Index("ix_shelf_entry_place", "place"),
        choice_check("owner", SHELVED),
        number_check("quantity", 0, 1000000),
        number_check("price", 0, 10000000),
        number_check("reorder_level", 0, 1000000),
    )

    id: int = Field(default=None, primary_key=True)
    owner: str
    owner_id: int
    quantity: float = 1
    price: float | None = None
    currency: str = ""
    place: str = ""
    supplier: str = ""
    reorder_level: float | None = None
    wished: bool = False
    low: bool = False
    note: str = ""
