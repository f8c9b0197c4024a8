"""Service: care that moves the speed without being a change, and when it is due."""

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.states.tables import PLACES

SERVICE_KINDS = ("greased", "shaft looked at", "throttle calibrated", "cleaned", "bearings looked at", "other")


class Service(SQLModel, table=True):
    """Care that moves the speed without being a change."""

    __table_args__ = (
        Index("ix_service_hull_id_kind_at", "hull_id", "kind", "at"),
        choice_check("kind", SERVICE_KINDS),
        choice_check("place", PLACES),
        utc_check("at"),
    )

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    kind: str
    place: str = "single"
    at: str
    offset_min: int = 0
    note: str = ""
    set_aside_at: str | None = None
    created_at: str


class ServiceRule(SQLModel, table=True):
    """After how many runs or minutes a kind of service is due on a hull."""

    __tablename__ = "service_rule"
    __table_args__ = (
        UniqueConstraint("hull_id", "kind"),
        choice_check("kind", SERVICE_KINDS),
        number_check("runs", 1, 1000),
        number_check("minutes", 1, 10000),
    )

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    kind: str
    runs: int | None = None
    minutes: float | None = None
