"""What a sheet holds by name and type, as `web.representations` lays it out: fields of a row stand beside its own."""

import dataclasses
from collections.abc import Iterator
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from garage.fields.definition import Field
from garage.fields.showing import OWN, SOME, FieldValues
from garage.measures import Measure
from garage.moments import Moment

_KEPT_AS = {"yes/no": bool, "whole": int | None, "rating": int | None, "number": float | None, "moment": Moment | None}


def sometimes_there(thing: type) -> set[str]:
    """The names of what is not in every row of a dataclass."""
    noted = [get_args(hint) for hint in get_type_hints(thing, include_extras=True).values()]
    return {field.name for note in noted if note[:1] == (FieldValues,) and SOME in note[2:] for field in note[1]}


def takes_own(thing: type) -> bool:
    """Whether the fields that a person added stand with those of a dataclass."""
    noted = [get_args(hint) for hint in get_type_hints(thing, include_extras=True).values()]
    return any(note[:1] == (FieldValues,) and OWN in note[2:] for note in noted)


def parts_of(thing: type) -> Iterator[tuple[str, Any]]:
    """Name and type of everything in a dataclass. A measure of one known kind is `Annotated[Measure, kind]`."""
    own = get_type_hints(thing, include_extras=True)
    names = [field.name for field in dataclasses.fields(thing)]
    for name in names:
        held, fields = unwrapped(own[name])
        if held is FieldValues:
            yield from ((field.name, _type_of(field)) for field in fields if field.name not in names)
        else:
            yield name, own[name]


def unwrapped(hint: Any) -> tuple[Any, Any]:
    """A type, and what was noted beside it; None for nothing."""
    if get_origin(hint) is Annotated:
        held, note, *_ = get_args(hint)
        return held, note
    return hint, None


def _type_of(field: Field) -> Any:
    if field.is_measure:
        return Annotated[Measure, field.kind]
    return _KEPT_AS.get(field.kind, str)
