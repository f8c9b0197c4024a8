"""Queries and writes of shelf entries."""

from sqlmodel import Session, select

from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.shelf.tables import SHELVED, ShelfEntry
from garage.things import Thing, Things


def entry(session: Session, owner: str, owner_id: int) -> ShelfEntry | None:
    """The shelf entry of an item, if one was ever written."""
    return session.exec(select(ShelfEntry).where(ShelfEntry.owner == owner, ShelfEntry.owner_id == owner_id)).first()


def shelved_thing(session: Session, things: Things, owner: str, owner_id: int) -> Thing:
    """The item that an entry is about. Raises NotFound."""
    if owner not in SHELVED:
        raise NotFound("Nothing of that kind lies on the shelf.")
    return things.thing(session, owner, owner_id)


def keep_entry(session: Session, owner: str, owner_id: int, form: FormData) -> ShelfEntry:
    """Write an item's entry, or write it anew. The caller has looked the item up."""
    kept = entry(session, owner, owner_id) or ShelfEntry(owner=owner, owner_id=owner_id)
    kept.sqlmodel_update(dict(form))
    kept.low = is_low(kept.quantity, kept.reorder_level)
    session.add(kept)
    session.flush()
    return kept


def is_low(quantity: float, reorder_level: float | None) -> bool:
    """Whether it is time to buy: as many as the reorder level or fewer; never without such a level."""
    return reorder_level is not None and quantity <= reorder_level
