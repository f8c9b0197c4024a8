"""The types of a collection's sheets: rows have the fields of its own list, and the description of the data says so."""

from dataclasses import make_dataclass
from functools import cache
from typing import Annotated, Any

from garage.fields.showing import OWN, FieldValues
from garage.inventory.collection import Collection
from garage.inventory.sheets import Line, ListSheet, ThingSheet


@cache
def line_type(collection: Collection, *, takes_own: bool = False) -> type[Line]:
    """What a row of the list is."""
    fields: Any = Annotated[FieldValues, collection.told_fields]
    if takes_own:
        fields = Annotated[fields, OWN]
    return _made(collection, Line, f"{collection.words.a.capitalize()} in the list.", fields=fields)


@cache
def list_type(collection: Collection, *, takes_own: bool = False) -> type[ListSheet]:
    """What the list is; `takes_own` where fields that a person added stand with the others of a row."""
    many, rows = collection.words.many.capitalize(), list[line_type(collection, takes_own=takes_own)]  # type: ignore[misc]
    return _made(collection, ListSheet, f"{many} in use, or those {collection.words.gone}.", rows=rows)


@cache
def thing_type(collection: Collection) -> type[ThingSheet]:
    """What the page of one thing is."""
    return _made(collection, ThingSheet, f"{collection.words.a.capitalize()}.", line=line_type(collection))


def _made(collection: Collection, base: type, about: str, **held: Any) -> Any:
    name = collection.table.__name__ + base.__name__
    namespace = {"__doc__": about, "__module__": base.__module__}
    return make_dataclass(name, held.items(), bases=(base,), frozen=True, namespace=namespace)
