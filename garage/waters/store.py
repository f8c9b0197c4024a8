"""Queries and writes of waters."""

from sqlmodel import Session, select

from garage.db.in_ids import in_
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.inventory.store import add_row, bearer_of, rows_of
from garage.moments import Moment
from garage.waters.kinds import WATERS
from garage.waters.tables import Water


def water(session: Session, water_id: int) -> Water:
    """One water. Raises NotFound."""
    found = session.get(Water, water_id)
    if found is None:
        raise NotFound("There is no such water in this notebook.")
    return found


def waters(session: Session, *, retired: bool = False, limit: int = 100, offset: int = 0) -> list[Water]:
    """Waters in use, or those no longer visited, by name."""
    return rows_of(session, WATERS, retired=retired, limit=limit, offset=offset)


def waters_by_id(session: Session, ids: set[int]) -> dict[int, Water]:
    """Some waters."""
    rows = session.exec(select(Water).where(in_(Water.id, ids)))
    return {row.id: row for row in rows}


def water_by_name(session: Session, name: str) -> Water | None:
    """The water of that name, whatever its capitals, or the one that it is the same as."""
    found: Water | None = bearer_of(session, WATERS, name)
    return found


def add_water(session: Session, form: FormData, at: Moment) -> Water:
    """Write down a new water. Raises Conflict if its name is taken."""
    added: Water = add_row(session, WATERS, form, at)
    return added


def begin_water(session: Session, form: FormData, at: Moment) -> Water:
    """The same for a name that was looked up."""
    new = Water(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    return new
