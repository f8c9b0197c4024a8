"""Queries and writes of waters."""

from sqlmodel import Session, select

from garage.db.in_ids import in_
from garage.db.taken import bearer, refuse_taken
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.waters.tables import Water


def water(session: Session, water_id: int) -> Water:
    """One water. Raises NotFound."""
    found = session.get(Water, water_id)
    if found is None:
        raise NotFound("There is no such water in this notebook.")
    return found


def waters(session: Session, *, retired: bool = False, limit: int = 100, offset: int = 0) -> list[Water]:
    """Waters in use, or those no longer visited, by name."""
    kept = Water.retired_on != "" if retired else Water.retired_on == ""
    return list(session.exec(select(Water).where(kept).order_by(Water.name).limit(limit).offset(offset)))


def waters_by_id(session: Session, ids: set[int]) -> dict[int, Water]:
    """Some waters."""
    rows = session.exec(select(Water).where(in_(Water.id, ids)))
    return {row.id: row for row in rows}


def water_by_name(session: Session, name: str) -> Water | None:
    """The water of that name, whatever its capitals."""
    return bearer(session, Water, "name", name)


def add_water(session: Session, form: FormData, at: Moment) -> Water:
    """Write down a new water. Raises Conflict if its name is taken."""
    _refuse_taken_name(session, form["name"])
    return begin_water(session, form, at)


def begin_water(session: Session, form: FormData, at: Moment) -> Water:
    """The same for a name that was looked up."""
    new = Water(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    return new


def change_water(session: Session, water_id: int, form: FormData) -> Water:
    """Write a water's facts anew. Raises NotFound, Conflict."""
    kept = water(session, water_id)
    _refuse_taken_name(session, form["name"], other_than=water_id)
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    return kept


def retire_water(session: Session, water_id: int, on: str) -> Water:
    """Take a water off the lists to choose from; '' for `on` brings it back."""
    kept = water(session, water_id)
    kept.retired_on = on
    session.add(kept)
    return kept


def _refuse_taken_name(session: Session, name: str, other_than: int | None = None) -> None:
    refuse_taken(
        session, Water, "name", name, lambda water: f"There is a water called {water.name} already.",
        other_than=other_than,
    )  # fmt: skip
