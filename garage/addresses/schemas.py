"""JSON schemas of sheets, from the types of their fields: what `web.representations.plain` makes of each."""

import dataclasses
import inspect
import types
from collections.abc import Iterable
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from garage.addresses.field_kinds import measure_kind, number_unit, unit_of_kind
from garage.addresses.parts import parts_of, sometimes_there, takes_own, unwrapped
from garage.fields.showing import Fact, Facts
from garage.measures import Measure
from garage.moments import Moment
from garage.units import KINDS

Schema = dict[str, Any]
_PLAIN = {str: "string", bool: "boolean", int: "integer", float: "number", type(None): "null"}
_OWN = "a field that the person added: what it is called, of which kind and in which unit, says `/own-fields.json`"
_UTC = "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z$"


def component_name(thing: type) -> str:
    """What a dataclass is called in the description: its module within the house, and its name."""
    return f"{thing.__module__.removeprefix('garage.')}.{thing.__qualname__}"


def first_words(thing: Any) -> str:
    """The docstring of a view or a sheet, in one line."""
    return " ".join((inspect.getdoc(thing) or "").split())


def things_within(sheets: Iterable[type]) -> dict[str, type]:
    """Every dataclass that is met in these sheets, by its name in the description."""
    schemas = Schemas()
    for sheet in sheets:
        schemas.of(sheet)
    return schemas.things


class Schemas:
    """Schemas by component, gathered while the addresses are gone through."""

    def __init__(self) -> None:
        self.components: dict[str, Schema] = {}
        self.things: dict[str, type] = {}

    def of(self, hint: Any, sheet: str = "", field: str = "") -> Schema:
        """The schema of a value of type `hint`, found in `field` of `sheet`. TypeError for what no sheet may hold."""
        hint, kind = unwrapped(hint)
        if hint in _PLAIN:
            return {"type": _PLAIN[hint]}
        if hint is Any:
            return {}
        if hint is Facts:
            return self.of(list[Fact], sheet, field)
        if get_origin(hint) is not None:
            return self._made_of(hint, sheet, field)
        if hint is Measure:
            return self._measure(kind or measure_kind(sheet, field))
        if hint is Moment:
            return self._once("Moment", _moment())
        if isinstance(hint, type) and dataclasses.is_dataclass(hint):
            return self._dataclass(hint)
        if isinstance(hint, type) and issubclass(hint, tuple) and hasattr(hint, "_fields"):
            return self._row(list(get_type_hints(hint).values()), sheet, field, list(hint._fields))
        if isinstance(hint, type) and issubclass(hint, str):
            return {"type": "string", "description": "a drawing as SVG"}
        if hint in (list, tuple, dict):
            return {"type": "object" if hint is dict else "array"}
        raise TypeError(f"{sheet}.{field} is of {hint}, of which no schema is known")

    def _made_of(self, hint: Any, sheet: str, field: str) -> Schema:
        origin, parts = get_origin(hint), get_args(hint)
        if origin in (types.UnionType, Union):
            return self._either([self.of(part, sheet, field) for part in parts])
        if origin is Literal:
            return {"enum": list(parts)}
        if origin is tuple and parts[-1:] != (...,):
            return self._row(list(parts), sheet, field)
        if origin in (list, tuple, set, frozenset) or issubclass(origin, (list, tuple)):
            return {"type": "array", "items": self.of(parts[0], sheet, field)}
        return {"type": "object", "additionalProperties": self.of(parts[1], sheet, field)}

    def _either(self, schemas: list[Schema]) -> Schema:
        if all(set(one) == {"type"} for one in schemas):
            return {"type": [one["type"] for one in schemas]}
        return {"anyOf": schemas}

    def _row(self, parts: list[Any], sheet: str, field: str, names: list[str] | None = None) -> Schema:
        cells = [self.of(part, sheet, field) for part in parts]
        if names:
            cells = [{"title": name} | cell for name, cell in zip(names, cells, strict=True)]
        return {"type": "array", "prefixItems": cells, "minItems": len(cells), "maxItems": len(cells)}

    def _once(self, name: str, schema: Schema) -> Schema:
        self.components.setdefault(name, schema)
        return {"$ref": f"#/components/schemas/{name}"}

    def _measure(self, kind: str | None) -> Schema:
        return self._once(f"Measure.{kind}" if kind else "Measure", _measure(kind))

    def _dataclass(self, thing: type) -> Schema:
        name = component_name(thing)
        if name not in self.components:
            self.things[name] = thing
            self.components[name] = {}  # Named before it is filled in: a thing may hold others of its own sort.
            self.components[name] = self._fields(thing)
        return {"$ref": f"#/components/schemas/{name}"}

    def _fields(self, thing: type) -> Schema:
        missing = sometimes_there(thing)
        properties = {name: self.of(hint, thing.__name__, name) for name, hint in parts_of(thing)}
        for name, schema in properties.items():
            if is_number(schema) and (unit := number_unit(name)):
                properties[name] = schema | {"description": f"in {unit}" if unit[0] != "f" else unit}
        return {
            "title": thing.__name__,
            "description": first_words(thing),
            "type": "object",
            "properties": properties,
            "required": [name for name in properties if name not in missing],
            "additionalProperties": False,
        } | (self._own(properties) if takes_own(thing) else {})

    def _own(self, known: Iterable[str]) -> Schema:
        """What may stand beside the `known` fields, by the name that `/own-fields.json` gives each."""
        other = "|".join(f"{name}$" for name in known if name.startswith("own_"))
        measure = self._once("OwnMeasure", _own_measure())
        value = {"anyOf": [{"type": ["string", "number", "null"]}, self._measure(None), measure]}
        return {"patternProperties": {f"^(?!{other})own_" if other else "^own_": value | {"description": _OWN}}}


def is_number(schema: Schema) -> bool:
    """Whether a schema is of plain numbers, possibly with none."""
    kinds = schema.get("type", "")
    return bool(set([kinds] if isinstance(kinds, str) else kinds) & {"number", "integer"})


def _own_measure() -> Schema:
    return {
        "title": "OwnMeasure",
        "description": "A number in a unit that the person called so.",
        "type": "object",
        "properties": {"value": {"type": ["number", "null"]}, "unit": {"type": "string"}, "from": {"type": "string"}},
        "required": ["value", "unit", "from"],
        "additionalProperties": False,
    }


def _moment() -> Schema:
    return {
        "title": "Moment",
        "description": "A point in time, with how many minutes the clocks on the spot were ahead of UTC.",
        "type": "object",
        "properties": {
            "utc": {"type": "string", "format": "date-time", "pattern": _UTC},
            "offset_min": {"type": "integer", "description": "in min"},
        },
        "required": ["utc", "offset_min"],
        "additionalProperties": False,
    }


def _measure(kind: str | None) -> Schema:
    number = {"type": ["number", "null"]}
    units = sorted({one.storage_unit for one in KINDS.values()})
    unit = {"const": unit_of_kind(kind)} if kind else {"enum": units}
    words = f"A {kind.replace('_', ' ')} in {unit_of_kind(kind)}." if kind else "A quantity; its unit stands beside it."
    return {
        "title": f"Measure of {kind.replace('_', ' ')}" if kind else "Measure",
        "description": f"{words} `from` says how it is known; `low` and `high` are its bounds, `caution` what to mind.",
        "type": "object",
        "properties": {
            "value": number | {"description": "null where it is not known"},
            "unit": {"type": "string"} | unit,
            "from": {"type": "string"},
            "low": {"type": "number"},
            "high": {"type": "number"},
            "caution": {"type": "string"},
        },
        "required": ["value", "unit", "from"],
        "additionalProperties": False,
    }
