"""What this room keeps, for whoever attaches something to it or searches it."""

from garage.fields.definition import searched
from garage.inventory.collection import Collection
from garage.inventory.kinds import CHARGERS, DRIVERS, INSTRUMENTS, RECEIVERS, SUPPLIERS
from garage.things import Found, Kind, texts


def _kind(collection: Collection, number: int) -> Kind:
    """`number` is the collection's span in the full text, once and for good."""
    words = collection.words
    title, body = (texts(*searched(collection.all_fields, place)) for place in ("title", "text"))
    return Kind(
        words.one,
        str(collection.table.__tablename__),
        title=f"t.name || ', {words.one}'",
        called="t.name",
        shelved="t.name" if collection.is_lent else "",
        url=f"'{collection.url}/' || t.id",
        in_use="t.retired_on = ''",
        aside="t.retired_on <> ''",
        came=f"t.{collection.came}" if collection.came else "''",
        found=Found(words.one, number, words.many.capitalize(), title, body, code="name"),
    )


THINGS = (
    _kind(DRIVERS, 25),
    _kind(RECEIVERS, 26),
    _kind(INSTRUMENTS, 27),
    _kind(CHARGERS, 28),
    _kind(SUPPLIERS, 29),
)
