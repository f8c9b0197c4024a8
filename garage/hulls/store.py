"""Queries and writes of hulls and their lists."""

from collections.abc import Iterable

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.db.in_ids import in_, rows_by_ids
from garage.db.many import add_many
from garage.db.taken import refuse_taken
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.hulls.forms import ChecklistFormData
from garage.hulls.tables import ChecklistItem, Hull
from garage.moments import Moment

# What a new hull's lists begin with; common practice, no source. The person edits them.
FIRST_LISTS = {
    "launch": (
        "Prop nut tight, drive dog straight",
        "Failsafe tried: radio off, throttle closes",
        "GPS running and fixed",
        "Hatch taped all round",
        "Receiver ready: dry, held down, aerial up",
        "First pass: water comes out of the outlet",
    ),
    "packing": (
        "Packs charged, each in its fire-safe bag",
        "Transmitter charged",
        "Props, nuts, and the spanner that fits them",
        "Grease, hatch tape, towel",
        "Thermometer and cell checker",
        "A way to get her back; nobody swims after a boat",
        "Notebook or pit sheet, pencil",
    ),
}


def hull(session: Session, hull_id: int) -> Hull:
    """One hull. Raises NotFound."""
    found = session.get(Hull, hull_id)
    if found is None:
        raise NotFound("There is no such hull in this notebook.")
    return found


def hulls(session: Session, *, retired: bool = False, limit: int = 50, offset: int = 0) -> list[Hull]:
    """Hulls in use, or those retired, by name."""
    kept = Hull.retired_on != "" if retired else Hull.retired_on == ""
    return list(session.exec(select(Hull).where(kept).order_by(Hull.name).limit(limit).offset(offset)))


def hulls_by_ids(session: Session, ids: Iterable[int]) -> dict[int, Hull]:
    """Some hulls."""
    return rows_by_ids(session, Hull, ids)


def hull_names(session: Session, ids: set[int]) -> dict[int, str]:
    """The names of some hulls."""
    rows = session.exec(select(Hull.id, Hull.name).where(col(Hull.id).in_(ids)))
    return {hull_id: name for hull_id, name in rows if hull_id is not None}


def add_hull(session: Session, form: FormData, at: Moment) -> Hull:
    """Write down a new hull with its first lists. Raises Conflict if the name is taken."""
    _refuse_taken_name(session, form["name"])
    new = Hull(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    first = [
        ChecklistItem(hull_id=new.id, checklist=checklist, position=position, text=text)
        for checklist, texts in FIRST_LISTS.items()
        for position, text in enumerate(texts)
    ]
    add_many(session, first)
    return new


def change_hull(session: Session, hull_id: int, form: FormData) -> Hull:
    """Write a hull's facts anew. Raises NotFound, Conflict."""
    kept = hull(session, hull_id)
    _refuse_taken_name(session, form["name"], other_than=hull_id)
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    return kept


def retire_hull(session: Session, hull_id: int, on: str, reason: str) -> Hull:
    """Put a hull aside; '' for `on` brings it back. Nothing of its history changes."""
    kept = hull(session, hull_id)
    kept.retired_on, kept.retired_reason = on, reason
    session.add(kept)
    return kept


def _refuse_taken_name(session: Session, name: str, other_than: int | None = None) -> None:
    refuse_taken(
        session,
        Hull,
        "name",
        name,
        lambda hull: f"There is a hull called {hull.name} already.",
        other_than=other_than,
    )


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
