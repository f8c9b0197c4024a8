"""Queries and writes of hulls and their lists."""

from collections.abc import Iterable

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.db.in_ids import in_, rows_by_ids
from garage.errors import NotFound
from garage.hulls.forms import ChecklistFormData
from garage.hulls.kinds import HULLS
from garage.hulls.tables import ChecklistItem, Hull
from garage.inventory.store import rows_of


def hull(session: Session, hull_id: int) -> Hull:
    """One hull. Raises NotFound."""
    found = session.get(Hull, hull_id)
    if found is None:
        raise NotFound("There is no such hull in this notebook.")
    return found


def hulls(session: Session, *, retired: bool = False, limit: int = 50, offset: int = 0) -> list[Hull]:
    """Hulls in use, or those retired, by name."""
    return rows_of(session, HULLS, retired=retired, limit=limit, offset=offset)


def hulls_by_ids(session: Session, ids: Iterable[int]) -> dict[int, Hull]:
    """Some hulls."""
    return rows_by_ids(session, Hull, ids)


def hull_names(session: Session, ids: set[int]) -> dict[int, str]:
    """The names of some hulls."""
    rows = session.exec(select(Hull.id, Hull.name).where(col(Hull.id).in_(ids)))
    return {hull_id: name for hull_id, name in rows if hull_id is not None}


def checklist(session: Session, hull_id: int, name: str) -> list[ChecklistItem]:
    """The lines of one list of a hull, in order."""
    return checklists_of(session, [hull_id], name)[hull_id]


def checklists_of(session: Session, hull_ids: Iterable[int], name: str) -> dict[int, list[ChecklistItem]]:
    """The lines of one list of some hulls, in order, by hull."""
    found: dict[int, list[ChecklistItem]] = {hull_id: [] for hull_id in hull_ids}
    lines = session.exec(
        select(ChecklistItem)
        .where(
            in_(ChecklistItem.hull_id, found),
            ChecklistItem.checklist == name,
            col(ChecklistItem.set_aside_at).is_(None),
        )
        .order_by(col(ChecklistItem.position), col(ChecklistItem.id))
    )
    for line in lines:
        found[line.hull_id].append(line)
    return found


def add_checklist_line(session: Session, hull_id: int, form: ChecklistFormData) -> ChecklistItem:
    """Add a line at the end of a list. Raises NotFound."""
    hull(session, hull_id)
    last = session.exec(
        select(func.max(ChecklistItem.position)).where(
            ChecklistItem.hull_id == hull_id, ChecklistItem.checklist == form.checklist
        )
    ).one()
    line = ChecklistItem(hull_id=hull_id, position=(last or 0) + 1, **vars(form))
    session.add(line)
    return line


def set_aside_checklist_line(session: Session, hull_id: int, line_id: int, at: str | None) -> ChecklistItem:
    """Take a line off its list, or bring it back with `at` None. Raises NotFound."""
    line = session.get(ChecklistItem, line_id)
    if line is None or line.hull_id != hull_id:
        raise NotFound("There is no such line on this hull's lists.")
    line.set_aside_at = at
    session.add(line)
    return line
