"""The bench's addresses described: one for each calculator, from its own definition."""

from collections.abc import Mapping, Sequence
from typing import Any

from garage.addresses.schemas import Schema
from garage.bench.catalog import CALCULATORS
from garage.bench.definition import Calculator, Input
from garage.bench.sides import SIDES

_WORDS: Schema = {"type": "string"}
_ANYTHING: Schema = {"type": ["number", "string", "boolean", "array", "null"]}


def bench_paths(refusals: Mapping[str, Schema]) -> dict[str, Schema]:
    """The path of each calculator; `refusals` are the answers that all addresses have in common."""
    return {f"/bench/{name}.json": {"get": _operation(one, refusals)} for name, one in CALCULATORS.items()}


def _operation(calculator: Calculator, refusals: Mapping[str, Schema]) -> Schema:
    wrong = {"description": "Inputs that cannot be computed with.", "content": _json(_wrong(calculator))}
    answer = {"description": "What goes in and what comes out, with units.", "content": _json(_answer(calculator))}
    return {
        "summary": calculator.question,
        "description": f"{calculator.valid} Source: {calculator.source}",
        "operationId": f"bench.{calculator.name}",
        "tags": ["bench"],
        "parameters": [_parameter(one) for one in calculator.inputs] + _filled_from(calculator),
        "responses": {"200": answer, "422": wrong, **refusals},
    }


def _parameter(one: Input) -> Schema:
    bare = f" A bare number is in {one.plain_unit}; any other unit may be written." if one.plain_unit else ""
    schema = _WORDS | ({"enum": list(one.choices)} if one.choices else {})
    if one.default:
        schema = schema | {"default": one.default}
    return {
        "name": one.name, "in": "query", "required": False, "schema": schema,
        "description": f"{one.label}{_written(one)}.{bare}{' ' + one.hint if one.hint else ''}",
    }  # fmt: skip


def _written(one: Input) -> str:
    """How a list is written in one text."""
    if one.many:
        return ", separated by semicolons"
    return f", one a line: {one.written}" if one.kind == "lines" else f": {one.written}" if one.of else ""


def _filled_from(calculator: Calculator) -> list[Schema]:
    found = [
        {"name": kind, "in": "query", "schema": _WORDS, "description": f"The number of a {kind} to fill in from."}
        for kind in calculator.fills
        if kind not in calculator.by_name
    ]
    side = {"name": "side", "in": "query", "schema": _WORDS | {"enum": list(SIDES)}, "description": "Of two sides."}
    return [*found, *([side] if found else [])]


def _answer(calculator: Calculator) -> Schema:
    results = {one.name: _quantity(one.label, one.plain_unit) for one in calculator.results}
    ends = {f"{name}_{end}": _quantity(end, one["properties"]["unit"]["const"])
            for name, one in results.items() for end in ("low", "high")}  # fmt: skip
    inputs = {one.name: _quantity(one.label, one.plain_unit) for one in calculator.inputs}
    return _object({
        "calculator": {"const": calculator.name},
        "inputs": {"type": "object", "properties": inputs, "additionalProperties": False},
        "results": _object(ends | results, required=list(results)),
        "cautions": {"type": "array", "items": _WORDS},
        "source": _WORDS,
    })  # fmt: skip


def _quantity(label: str, unit: str) -> Schema:
    number = {"type": ["number", "null"]}
    parts = {"value": _ANYTHING, "unit": {"type": "string", "const": unit}, "low": number, "high": number}
    return _object(parts, required=["value", "unit"]) | {"description": label}


def _wrong(calculator: Calculator) -> Schema:
    words = {"type": "object", "additionalProperties": _WORDS, "description": "by input; “” for all of them together"}
    return _object({"calculator": {"const": calculator.name}, "errors": words})


def _object(properties: Schema, required: Sequence[str] | None = None) -> Schema:
    wanted = list(properties) if required is None else list(required)
    return {"type": "object", "properties": properties, "required": wanted, "additionalProperties": False}


def _json(schema: Schema) -> dict[str, Any]:
    return {"application/json": {"schema": schema}}
