"""Indexes of what was set aside, so that the bin is found without a look at everything that was not."""

from sqlalchemy import Index, text
from sqlmodel import SQLModel

from garage.hulls.tables import ChecklistItem
from garage.logs.tables import LogFile
from garage.modifications.tables import Step
from garage.own_fields.tables import OwnField
from garage.packs.tables import PackLog, PackReading
from garage.photos.tables import Attachment
from garage.runs.tables import Incident, Run
from garage.services.tables import Service
from garage.shelf.tables import Loan
from garage.waters.tables import Outing

_SET_ASIDE: tuple[type[SQLModel], ...] = (
    Attachment, ChecklistItem, Incident, Loan, LogFile, Outing, OwnField, PackLog, PackReading, Run, Service,
    Step,
)  # fmt: skip
for _table in _SET_ASIDE:
    _columns = _table.__table__  # type: ignore[attr-defined]
    Index(
        f"ix_bin_{_columns.name}", _columns.c.set_aside_at, sqlite_where=text("set_aside_at IS NOT NULL"),
    )  # fmt: skip
