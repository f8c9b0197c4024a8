"""Queries and writes of any collection."""

from typing import Any

from sqlmodel import Session, select

from garage.corrections.same_store import is_gone, joined
from garage.corrections.tables import MAY_BE_SAME
from garage.db.taken import bearer, refuse_taken
from garage.errors import Conflict, NotFound
from garage.fields.definition import FormData
from garage.inventory.collection import Collection
from garage.moments import Moment, day_text


def row_of(session: Session, collection: Collection, row_id: int) -> Any:
    """One thing. Raises NotFound."""
    found = session.get(collection.table, row_id)
    if found is None:
        raise NotFound(f"There is no such {collection.words.one} in this notebook.")
    return found


def rows_of(
    session: Session,
    collection: Collection,
    *narrowed: Any,
    retired: bool = False,
    limit: int = 50,
    offset: int = 0,
) -> list[Any]:
    """The things in use, or those retired, in their order; of these only those that are `narrowed` down to."""
    query = select(collection.table).where(is_kept(collection, retired=retired), *narrowed)
    return list(session.exec(query.order_by(*in_order(collection)).limit(limit).offset(offset)))


def is_kept(collection: Collection, *, retired: bool = False) -> Any:
    """The condition of a row in use, or of one retired; one that another stands for is neither."""
    table: Any = collection.table
    if not retired:
        return table.retired_on == ""
    may_be_same = collection.owner in MAY_BE_SAME
    return (table.retired_on != "") & ~is_gone(collection.owner, table.id) if may_be_same else table.retired_on != ""


def in_order(collection: Collection) -> tuple[Any, ...]:
    """The columns by which a list goes."""
    table: Any = collection.table
    return collection.order or (table.name, table.id)


def add_row(session: Session, collection: Collection, form: FormData, at: Moment) -> Any:
    """Write down a new thing. Raises Conflict if its key is taken."""
    refuse_taken_key(session, collection, form)
    table: Any = collection.table
    new = table(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    collection.begin(session, new)
    return new


def change_row(session: Session, collection: Collection, row_id: int, form: FormData) -> Any:
    """Write the facts of a thing anew. Raises NotFound, Conflict, the latter also where it would have come only after
    its end."""
    kept = row_of(session, collection, row_id)
    refuse_end_before_it_came(collection, kept.retired_on, form)
    refuse_taken_key(session, collection, form, other_than=row_id)
    return _write(session, kept, form)


def retire_row(session: Session, collection: Collection, row_id: int, form: FormData) -> Any:
    """Take a thing off the list, on the day and in the way that `form` says. Raises NotFound, and Conflict if another
    stands for it."""
    refuse_gone(session, collection, row_id)
    return _write(session, row_of(session, collection, row_id), form)


def return_row(session: Session, collection: Collection, row_id: int) -> Any:
    """Bring a retired thing back. Raises NotFound, and Conflict if another stands for it."""
    refuse_gone(session, collection, row_id)
    in_use = {field.column: "" for field in collection.retirement}
    return _write(session, row_of(session, collection, row_id), in_use)


def refuse_gone(session: Session, collection: Collection, row_id: int) -> None:
    """Raise Conflict if another thing stands for this one: it is neither in use nor out of it."""
    if kept := standing_for(session, collection, row_of(session, collection, row_id)):
        raise Conflict(f"It is the same as {collection.called(kept)}: take that back first.")


def standing_for(session: Session, collection: Collection, row: Any) -> Any:
    """The thing that stands for `row`, None if it stands for itself. Only one out of the lists is looked up."""
    if not row.retired_on or collection.owner not in MAY_BE_SAME:
        return None
    pairs = {one.gone_id: one.kept_id for one in joined(session, collection.owner, [row.id])}
    return row_of(session, collection, pairs[row.id]) if row.id in pairs else None


def bearer_of(session: Session, collection: Collection, typed: str) -> Any:
    """The thing that bears what was typed as its key, whatever its capitals, or what stands for it; None if nothing
    does."""
    found = bearer(session, collection.table, collection.key, typed)
    return found and (standing_for(session, collection, found) or found)


def _write(session: Session, kept: Any, form: FormData) -> Any:
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    return kept


def refuse_end_before_it_came(collection: Collection, retired_on: str, form: FormData) -> None:
    """Raise Conflict if a thing out of use since `retired_on` came, as `form` says, later than that."""
    for field in collection.fields:
        if field.name == collection.came and retired_on and form[field.column] > retired_on:
            raise Conflict(
                f"{field.label} {day_text(form[field.column])}: it is out of use since {day_text(retired_on)}."
            )


def refuse_taken_key(session: Session, collection: Collection, form: FormData, other_than: int | None = None) -> None:
    """Raise Conflict if another thing bears the key of `form` already."""
    key, words = collection.key, collection.words_for_taken
    refuse_taken(session, collection.table, key, form[key], words, other_than=other_than)
