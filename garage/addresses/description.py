"""The description of every address of data, in OpenAPI 3.1: an open standard that programs read."""

import dataclasses
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, get_args, get_type_hints

from starlette.routing import BaseRoute, Route

from garage.addresses.bench import bench_paths
from garage.addresses.columns import columns_of
from garage.addresses.schemas import Schema, Schemas, first_words
from garage.web.pages import Representation

_VALUE = re.compile(r"\{(\w+)(?::(\w+))?\}")
_ENDING = re.compile(r"\.(json|csv)$")
ABOUT = (
    "Every page of the notebook is also to be had as data: its address with .json behind it, that of a list also with "
    ".csv. It is the same content, in storage units. Nothing here writes; what comes in is typed on the pages."
)
_FAULT: Schema = {
    "title": "Fault",
    "description": "What happened, and what can be done about it.",
    "type": "object",
    "properties": {"title": {"type": "string"}, "words": {"type": "string"}},
    "required": ["title", "words"],
    "additionalProperties": False,
}
_PAGE_WORDS = "which page of the list, from 1; `more` says whether there is a further one"


@dataclass(frozen=True)
class Address:
    """One address of data: its path with names in braces, and what stands behind it."""

    path: str
    values: tuple[tuple[str, bool], ...]
    represents: Representation

    @property
    def sheet(self) -> type:
        """The type of what the view returns."""
        return get_type_hints(self.represents.view)["return"]

    @property
    def row(self) -> type:
        """Of a table: the type of its rows, which a sheet holds or works out."""
        held = get_type_hints(self.sheet)
        rows = held["rows"] if "rows" in held else get_type_hints(vars(self.sheet)["rows"].fget)["return"]
        return get_args(rows)[0]

    @property
    def room(self) -> str:
        """The first part of the path, by which addresses stand together."""
        return _ENDING.sub("", self.path).split("/")[1]

    @property
    def asks(self) -> Mapping[str, str]:
        """What may stand behind the question mark, in words by name; a table comes whole."""
        in_pages = not self.represents.is_table and "page" in _field_names(self.sheet)
        asked = {"page": _PAGE_WORDS} if in_pages else {}
        dropped = {"page"} if self.represents.is_table else set()
        return {name: words for name, words in (asked | dict(self.represents.asks)).items() if name not in dropped}


def addresses(routes: Iterable[BaseRoute]) -> list[Address]:
    """The addresses of data among the routes of an app, in the order of their paths."""
    found = [
        Address(
            _VALUE.sub(r"{\1}", route.path),
            tuple((name, kind == "int") for name, kind in _VALUE.findall(route.path)),
            route.endpoint.represents,  # type: ignore[attr-defined]
        )
        for route in routes
        if isinstance(route, Route) and hasattr(route.endpoint, "represents")
    ]
    return sorted(found, key=lambda one: one.path)


def describe(routes: Iterable[BaseRoute], version: str) -> Schema:
    """The whole description, as JSON values."""
    schemas = Schemas()
    schemas.components["Fault"] = _FAULT
    refusals = _refusals("application/json", {"$ref": "#/components/schemas/Fault"})
    paths = {one.path: {"get": _operation(one, schemas)} for one in addresses(routes)}
    return {
        "openapi": "3.1.0",
        "info": {"title": "Garage notebook", "version": version, "description": ABOUT},
        "paths": dict(sorted((paths | bench_paths(refusals)).items())),
        "components": {"schemas": dict(sorted(schemas.components.items()))},
    }


def _operation(address: Address, schemas: Schemas) -> Schema:
    is_table, sheet = address.represents.is_table, address.sheet
    content = {"text/csv": {"schema": {"type": "string"}}} if is_table else _json(schemas.of(sheet))
    words = _table_words(address) if is_table else first_words(sheet)
    kind, fault = ("text/html", {"type": "string"}) if is_table else ("application/json", _FAULT_REF)
    return {
        "summary": first_words(sheet).split(". ")[0].rstrip("."),
        "operationId": _VALUE.sub(r"\1", address.path).strip("/").replace("/", "."),
        "tags": [address.room],
        "parameters": [_value(name, is_number) for name, is_number in address.values]
        + [_asked(name, about) for name, about in address.asks.items()],
        "responses": {"200": {"description": words, "content": content}, **_refusals(kind, fault)},
    }


_FAULT_REF: Schema = {"$ref": "#/components/schemas/Fault"}


def _table_words(address: Address) -> str:
    columns = ", ".join(column.heading for column in columns_of(address.row))
    return f"All rows as a table in UTF-8 with a heading. Columns: {columns}."


def _value(name: str, is_number: bool) -> Schema:
    schema = {"type": "integer", "minimum": 0} if is_number else {"type": "string"}
    return {"name": name, "in": "path", "required": True, "schema": schema}


def _asked(name: str, words: str) -> Schema:
    schema = {"type": "integer", "minimum": 1} if name == "page" else {"type": "string"}
    return {"name": name, "in": "query", "required": False, "schema": schema, "description": words}


def _refusals(kind: str, schema: Schema) -> dict[str, Schema]:
    """What an address may answer instead of data: nothing there, nothing to show as things stand, not let in."""
    text = {"text/plain": {"schema": {"type": "string"}}}
    there = {kind: {"schema": schema}}
    return {
        "403": {"description": "Refused at the door: nothing is written here, nor by another site.", "content": text},
        "404": {"description": "There is nothing under that address.", "content": there},
        "409": {"description": "As things stand there is nothing to show; the words say why.", "content": there},
    }


def _json(schema: Schema) -> dict[str, Any]:
    return {"application/json": {"schema": schema}}


def _field_names(sheet: type) -> set[str]:
    return {field.name for field in dataclasses.fields(sheet)}
