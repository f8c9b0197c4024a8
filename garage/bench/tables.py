"""What the bench keeps: where the parts of a boat sit, and what two scales read under her."""

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from garage.db.columns import number_check, utc_check


class BalanceSheet(SQLModel, table=True):
    """The parts of a boat with their places, as typed for one build state: a line for each, `name;mass;x;y;z`.

    Kept as a whole: a later one stands before it, and setting that aside brings the earlier one back.
    """

    __tablename__ = "balance_sheet"
    __table_args__ = (Index("ix_balance_sheet_hull_id_id", "hull_id", "id"), utc_check("created_at"))

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    state_id: int = Field(foreign_key="build_state.id", index=True)
    parts: str
    created_at: str
    set_aside_at: str | None = None


class ScaleReading(SQLModel, table=True):
    """Two scales under a boat in one build state: where each stood from the transom, and what it read."""

    __tablename__ = "scale_reading"
    __table_args__ = (
        number_check("first_x_mm", -100000, 100000),
        number_check("first_g", 0, 1000000),
        number_check("second_x_mm", -100000, 100000),
        number_check("second_g", 0, 1000000),
        utc_check("at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    state_id: int = Field(foreign_key="build_state.id", index=True)
    at: str
    offset_min: int = 0
    first_x_mm: float
    first_g: float
    second_x_mm: float
    second_g: float
    note: str = ""
    created_at: str
    set_aside_at: str | None = None
