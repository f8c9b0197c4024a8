"""The columns of a table and the fields of a sheet, in words: name, unit, kind."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeGuard, get_args, get_origin, get_type_hints

from garage.addresses.field_kinds import measure_kind, number_unit, unit_of_kind
from garage.addresses.parts import parts_of, unwrapped
from garage.addresses.schemas import component_name
from garage.measures import Measure
from garage.moments import Moment

_PLAIN = {str: "text", bool: "yes or no", int: "whole number", float: "number", Moment: "moment", Any: "anything"}


@dataclass(frozen=True)
class Column:
    """One field or column: how it is called, its unit, what it is, and the thing it holds if that has fields of its
    own."""

    name: str
    unit: str
    kind: str
    holds: str = ""

    @property
    def heading(self) -> str:
        """As it stands over the column of a table."""
        return f"{self.name} [{self.unit}]" if self.unit and "measure: " in self.kind else self.name


def fields_of(thing: type) -> list[Column]:
    """The fields of a dataclass, in its order."""
    return [_column(thing, name, hint) for name, hint in parts_of(thing)]


def columns_of(row: type, before: str = "") -> list[Column]:
    """The columns of a table with rows of that dataclass; the fields of what is within stand there by `outer.inner`."""
    found: list[Column] = []
    for name, hint in parts_of(row):
        if _has_fields(hint) and hint not in (Measure, Moment):
            found += columns_of(hint, f"{before}{name}.")
        else:
            found.append(dataclasses.replace(_column(row, name, hint), name=before + name))
    return found


def _column(thing: type, name: str, hint: Any) -> Column:
    hint, noted = unwrapped(hint)
    within = list(_leaves(hint))
    if Measure in within:
        kind = noted or measure_kind(thing.__name__, name)
        words = f"measure: {kind.replace('_', ' ')}" if kind else "measure, with its unit"
        return Column(name, unit_of_kind(kind), _several(hint) + words)
    held = next((leaf for leaf in within if _has_fields(leaf) and leaf is not Moment), None)
    if held is not None:
        return Column(name, "", f"{_several(hint)}{held.__name__}", component_name(held))
    words = " or ".join(dict.fromkeys(_PLAIN[leaf] for leaf in within if leaf in _PLAIN)) or "text"
    is_number = bool({int, float} & set(within)) and _several(hint) == ""
    return Column(name, number_unit(name) if is_number else "", _several(hint) + words)


def _has_fields(hint: Any) -> TypeGuard[type]:
    return isinstance(hint, type) and dataclasses.is_dataclass(hint)


def _several(hint: Any) -> str:
    origin = get_origin(hint)
    if origin is dict:
        return "by name: "
    return "several: " if origin in (list, tuple, set, frozenset) or _is_row(hint) else ""


def _is_row(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, tuple)


def _leaves(hint: Any) -> Iterator[Any]:
    """The plain types that a type is made of."""
    if hint in (..., type(None)):
        return
    parts = get_args(hint)
    if get_origin(hint) is dict:
        parts = parts[1:]
    elif _is_row(hint) and hasattr(hint, "_fields"):
        parts = tuple(get_type_hints(hint).values())
    if not parts:
        yield hint
    for part in parts:
        yield from _leaves(part)
