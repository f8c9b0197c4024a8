"""Queries and writes of a person's own fields, and what is known of the things that have them."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.own_fields.at_hand import forget
from garage.own_fields.tables import OwnField
from garage.things import TakesFields, Things

_MOST_VALUES = 100_000


def own_field(session: Session, number: int) -> OwnField:
    """One own field. Raises NotFound."""
    found = session.get(OwnField, number)
    if found is None:
        raise NotFound("There is no such field of your own in this notebook.")
    return found


def own_fields(session: Session) -> list[OwnField]:
    """All of them, in the order in which they were added."""
    return list(session.exec(select(OwnField).order_by(col(OwnField.id))))


def takes(things: Things, thing: str) -> TakesFields:
    """What is known of a kind of thing that may be given fields. Raises NotFound."""
    found = next((one for one in things.taking_fields if one.thing == thing), None)
    if found is None:
        raise NotFound("To that nothing can be added.")
    return found


def labels_taken(session: Session, of: TakesFields, other_than: int | None = None) -> list[str]:
    """What the fields of a kind of thing are called, built in and own."""
    rows = session.exec(select(OwnField.id, OwnField.label).where(OwnField.thing == of.thing))
    return [*of.labels, *(label for number, label in rows if number != other_than)]


def values_of(session: Session, of: TakesFields, number: int) -> list[Any]:
    """What was ever written into an own field, each once."""
    query = text(f"SELECT DISTINCT value FROM ({of.values}) WHERE value IS NOT NULL LIMIT {_MOST_VALUES}")
    return list(session.connection().execute(query, {"number": number}).scalars())


def counts(session: Session, things: Things, rows: Iterable[OwnField], *, ever: bool = False) -> dict[int, int]:
    """How many things have a value in each of some own fields; or `ever` had one, in what was taken back too."""
    asked = {
        one.thing: one.values if ever or not one.standing else one.standing for one in things.taking_fields
    }  # fmt: skip
    parts = [
        f"SELECT {row.id:d}, count(DISTINCT owner) FROM ({asked[row.thing].replace(':number', str(row.id))})"
        " WHERE value IS NOT NULL"
        for row in rows
    ]
    if not parts:
        return {}
    found = session.connection().execute(text(" UNION ALL ".join(parts)))
    return {row[0]: row[1] for row in found}


def add_own_field(session: Session, thing: str, form: FormData, at: Moment, names: Iterable[str] = ()) -> OwnField:
    """Add a field to a kind of thing, of which these `names` of fields are taken besides those that were added."""
    taken = [*names, *session.exec(select(OwnField.name).where(OwnField.thing == thing))]
    row = OwnField(thing=thing, name=_name(form["label"], taken), created_at=at.utc, **form)
    session.add(row)
    session.flush()
    forget(session)
    return row


def change_own_field(session: Session, number: int, form: FormData) -> OwnField:
    """Write an own field anew; what was written into it stays. Raises NotFound."""
    kept = own_field(session, number)
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    forget(session)
    return kept


def set_own_field_aside(session: Session, number: int, at: str | None) -> OwnField:
    """Put an own field away, or bring it back with None; what was written into it stays. Raises NotFound."""
    kept = own_field(session, number)
    kept.set_aside_at = at
    session.add(kept)
    forget(session)
    return kept


def _name(label: str, taken: Sequence[str]) -> str:
    """What forms and data call it: `own_weed_on_the_water`."""
    plain = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode().lower()
    name = f"own_{re.sub('[^a-z0-9]+', '_', plain).strip('_')[:40] or 'field'}".rstrip("_")
    free = (name if again == 1 else f"{name}_{again}" for again in range(1, len(taken) + 2))
    return next(one for one in free if one not in taken)
