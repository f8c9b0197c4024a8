"""Service: care that moves the speed without being a change, and when it is due."""

from typing import TYPE_CHECKING

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field

from garage.fields.table import FieldTable
from garage.services.fields import FIELDS, RULE_FIELDS


class Service(FieldTable, table=True, fields=FIELDS):
    """Care that moves the speed without being a change."""

    __table_args__ = (Index("ix_service_hull_id_kind_at", "hull_id", "kind", "at"),)

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    offset_min: int = 0
    set_aside_at: str | None = None
    created_at: str

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        kind: str
        place: str
        at: str
        note: str


class ServiceRule(FieldTable, table=True, fields=RULE_FIELDS):
    """After how many runs or minutes a kind of service is due on a hull."""

    __tablename__ = "service_rule"
    __table_args__ = (UniqueConstraint("hull_id", "kind"),)

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")

    if TYPE_CHECKING:
        kind: str
        runs: int | None
        minutes: float | None
