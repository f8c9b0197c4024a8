"""Typed inputs to numbers, the work done, and the answer as plain JSON values."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

from garage.bench.definition import Calculator, Input, Ranged, Value, Worked, WrongInput
from garage.units import UnreadableQuantity, parse_in_unit, parse_number

_MOST_IN_LIST = 200
_LONGEST_TEXT = 200
_LONGEST_LINES = 20000
_PLAIN_KINDS = ("number", "whole", "fraction", "choice", "text", "lines")


class _WrongFigure(UnreadableQuantity):
    """One of several figures cannot be read: which, from 1."""

    def __init__(self, number: int, words: str) -> None:
        super().__init__(words)
        self.number = number


def work(calculator: Calculator, typed: Mapping[str, str]) -> Worked:
    """Read `typed` by input name and compute. Raises WrongInput with a message for each input that is wrong."""
    given, errors = {}, {}
    beside: dict[str, str] = {}
    for name in typed:
        if name not in calculator.by_name:
            known = ", ".join(calculator.by_name)
            errors[name[:40]] = f"there is no such input; inputs are {known}."
    for one in calculator.inputs:
        try:
            given[one.name] = _value(one, typed.get(one.name, ""))
        except UnreadableQuantity as unread:
            errors[one.name] = str(unread)
            beside[f"{one.name}_{unread.number}" if isinstance(unread, _WrongFigure) else one.name] = str(unread)
    if errors:
        raise WrongInput(errors, {name: errors[name] for name in errors if name not in calculator.by_name} | beside)
    try:
        return Worked(calculator, given, calculator.work(given))
    except ValueError as error:
        raise WrongInput({"": str(error)}) from error
    except (OverflowError, ZeroDivisionError) as error:
        raise WrongInput({"": "These figures are beyond what can be computed."}) from error


def as_json(worked: Worked) -> dict[str, Any]:
    """The answer as JSON values: inputs and results with their units, cautions, source."""
    calculator = worked.calculator
    results: dict[str, Any] = {}
    for one in calculator.results:
        value = worked.answer.results.get(one.name)
        results[one.name] = _result(value, one.plain_unit)
        if isinstance(value, Ranged):
            for end in ("low", "high"):
                number = _finite(getattr(value, end))
                results.setdefault(f"{one.name}_{end}", {"value": number, "unit": one.plain_unit})
    return {
        "calculator": calculator.name,
        "inputs": {
            one.name: {"value": worked.given[one.name], "unit": one.plain_unit}
            for one in calculator.inputs
            if worked.given[one.name] is not None
        },
        "results": results,
        "cautions": list(worked.answer.cautions),
        "source": calculator.source,
    }


def unanswered(calculator: Calculator, texts: Mapping[str, str]) -> dict[str, Any]:
    """The calculator as JSON values while there is too little to answer: what stands in its inputs, and no results."""
    return {
        "calculator": calculator.name,
        "inputs": {
            one.name: {"value": texts.get(one.name) or one.default or None, "unit": one.plain_unit}
            for one in calculator.inputs
        },
        "results": {one.name: {"value": None, "unit": one.plain_unit} for one in calculator.results},
        "cautions": [],
        "source": calculator.source,
    }


def _result(value: Value, unit: str) -> dict[str, Any]:
    if isinstance(value, Ranged):
        ends = {"low": _finite(value.low), "high": _finite(value.high)}
        return {"value": _finite(value.value), "unit": unit} | ends
    return {"value": _finite(value), "unit": unit}


def _finite(value: Any) -> Any:
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _value(one: Input, typed: str) -> Any:
    text = typed.strip() or one.default
    if not text:
        if one.needed:
            raise UnreadableQuantity("This is needed.")
        return None
    if one.kind == "choice":
        if text not in one.choices:
            raise UnreadableQuantity(f"“{text[:40]}” is not one of {', '.join(one.choices)}.")
        return text
    if one.kind in ("text", "lines"):
        most = _LONGEST_TEXT if one.kind == "text" else _LONGEST_LINES
        if len(text) > most:
            raise UnreadableQuantity(f"{len(text)} characters were written; at most {most} fit here.")
        return text
    if one.many:
        return _several(one, [part for part in text.replace("\n", ";").split(";") if part.strip()])
    return _number(one, text)


def _several(one: Input, parts: Iterable[str]) -> list[float]:
    found = []
    for number, part in enumerate(parts, 1):
        try:
            found.append(_number(one, part))
        except UnreadableQuantity as unread:
            raise _WrongFigure(number, str(unread)) from unread
    if len(found) > _MOST_IN_LIST:
        raise UnreadableQuantity(f"At most {_MOST_IN_LIST} go here.")
    return found


def _number(one: Input, text: str) -> float | int:
    if one.kind == "fraction" and text.rstrip().endswith("%"):
        value = parse_number(text.rstrip()[:-1]) / 100
    elif one.kind in _PLAIN_KINDS:
        value = parse_number(text)
    else:
        value = parse_in_unit(text, one.kind, one.unit)
    _check_range(one, value)
    if one.kind == "whole":
        if value != int(value):
            raise UnreadableQuantity("A whole number goes here.")
        return int(value)
    return value


def _check_range(one: Input, value: float) -> None:
    unit = f" {one.unit}" if one.unit else ""
    if one.above is not None and not value > one.above:
        raise UnreadableQuantity(f"It must be more than {one.above:g}{unit}.")
    if one.below is not None and not value < one.below:
        raise UnreadableQuantity(f"It must be less than {one.below:g}{unit}.")
    if one.low is not None and value < one.low:
        raise UnreadableQuantity(f"It must be at least {one.low:g}{unit}.")
    if one.high is not None and value > one.high:
        raise UnreadableQuantity(f"It must be at most {one.high:g}{unit}.")
