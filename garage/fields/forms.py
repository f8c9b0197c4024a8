"""Between the texts of a form and the columns of a row, by the list of fields."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, Protocol

from garage.fields.definition import STEPS, Field, empty, is_open, own_number
from garage.moments import Moment
from garage.units import DisplayUnits, entry_text

# The longest text of each kind, where its field does not say.
LONGEST = {"text": 200, "long text": 5000}


class Reader(Protocol):
    """What reads the texts of a form one by one, and keeps a message for each that it cannot read."""

    def holds(self, name: str) -> bool: ...
    def text(self, name: str, required: bool = False, most: int = 200) -> str: ...
    def long_text(self, name: str, required: bool = False, most: int = 5000) -> str: ...
    def quantity(
        self,
        name: str,
        kind: str,
        low: float | None = None,
        high: float | None = None,
        required: bool = False,
        above: float | None = None,
    ) -> float | None: ...
    def number(
        self, name: str, low: float | None = None, high: float | None = None, required: bool = False
    ) -> float | None: ...
    def whole(
        self, name: str, low: int | None = None, high: int | None = None, required: bool = False
    ) -> int | None: ...
    def choice(self, name: str, choices: Iterable[str], required: bool = False) -> str: ...
    def flag(self, name: str) -> bool: ...
    def date(self, name: str, required: bool = False, future_ok: bool = False) -> str: ...
    def moment(self, name: str, required: bool = False) -> Moment | None: ...


def read(fields: Iterable[Field], reader: Reader) -> dict[str, Any]:
    """What was typed into the fields that a form asks for, by column and in storage units.

    An own field that was added since the form was opened is no field of it, and left as it is; one that was put away
    since then still is, and what was typed into it is kept.
    What could not be read is told by `reader`, which is not finished here: rules between fields come after.
    """
    form: dict[str, Any] = {}
    for field in fields:
        if reader.holds(field.name) if own_number(field.column) else field.asked:
            form |= _read(field, reader)
    return form


def read_as(name: str, field: Field, reader: Reader) -> Any:
    """What was typed under `name` for a field, in its bounds; open if nothing was."""
    return _read(replace(field, name=name, required=False), reader)[field.column]


def fill(fields: Iterable[Field], row: Any, units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a `row` already written down, by name of field."""
    return {field.name: _text(field, row, units) for field in fields if field.asked}


def fresh(fields: Iterable[Field], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a new thing: the defaults, where there are any."""
    return {
        field.name: _typed(field, field.default, units)
        for field in fields
        if field.asked and not is_open(field.default)
    }


def held(fields: Iterable[Field], row: Any) -> dict[str, Any]:
    """What `row` holds in these fields by column, as a form would give it."""
    return {field.column: getattr(row, field.column) for field in fields}


def blank(fields: Iterable[Field]) -> dict[str, Any]:
    """What a row holds of which nothing was said, by column."""
    return {field.column: empty(field) for field in fields}


def _read(field: Field, reader: Reader) -> dict[str, Any]:
    value = _READ.get("choice" if field.choices else field.kind, _quantity)(field, reader)
    if value in (None, "") and field.default is not None:
        value = field.default
    if isinstance(value, Moment):
        return {field.column: value.utc} | ({field.offset: value.offset_min} if field.offset else {})
    return {field.column: value}


def moment_of(field: Field, row: Any, utc: str) -> Moment:
    """A moment of `row` with the offset kept beside it, or by this machine's own zone."""
    return Moment(utc, getattr(row, field.offset)) if field.offset else Moment.here(utc)


def _text(field: Field, row: Any, units: DisplayUnits) -> str:
    value = getattr(row, field.column)
    if field.kind == "moment" and value:
        return moment_of(field, row, value).local_text()
    return _typed(field, value, units)


def _typed(field: Field, value: Any, units: DisplayUnits) -> str:
    """One value as it is typed."""
    if value is None:
        return ""
    if field.is_measure:
        return entry_text(value, field.kind, units.unit(field.kind))
    if field.kind == "yes/no":
        return "yes" if value else ""
    return f"{value:.15g}" if isinstance(value, float) else str(value)


def _picked(field: Field, reader: Reader) -> str | int | None:
    chosen = reader.choice(field.name, field.values, field.required)
    return int(chosen) if chosen and field.kind == "whole" else chosen


def _step(field: Field, reader: Reader) -> int | None:
    chosen = reader.choice(field.name, map(str, STEPS), field.required)
    return int(chosen) if chosen else None


def _whole(field: Field, reader: Reader) -> int | None:
    low, high = (None if bound is None else int(bound) for bound in (field.low, field.high))
    return reader.whole(field.name, low, high, field.required)


def _number(field: Field, reader: Reader) -> float | None:
    return reader.number(field.name, field.low, field.high, field.required)


def _quantity(field: Field, reader: Reader) -> float | None:
    low, above = (None, field.low) if field.above_low else (field.low, None)
    return reader.quantity(field.name, field.kind, low, field.high, field.required, above)


_READ: dict[str, Callable[[Field, Reader], Any]] = {
    "text": lambda field, reader: reader.text(field.name, field.required, field.most or LONGEST[field.kind]),
    "long text": lambda field, reader: reader.long_text(field.name, field.required, field.most or LONGEST[field.kind]),
    "choice": _picked,
    "whole": _whole,
    "rating": _step,
    "number": _number,
    "yes/no": lambda field, reader: reader.flag(field.name),
    "date": lambda field, reader: reader.date(field.name, field.required, field.future_ok),
    "moment": lambda field, reader: reader.moment(field.name, field.required),
}
