"""What pages, representations, table files and corrections say of a row, by its list of fields."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from garage.fields.definition import Field, is_open
from garage.fields.forms import moment_of
from garage.measures import Counted, Measure
from garage.moments import Moment, day_text
from garage.units import DisplayUnits, show


class FieldValues(dict[str, Any]):
    """The values of a row by the names of its fields. In representations and table files they stand beside the
    other values of the sheet or line that holds them, whose own names come first."""


# Sheets say which fields theirs are, `Annotated[FieldValues, FIELDS]`, and with this behind: not all of them each time.
SOME = "some of them"
# And this: those that a person added stand with them.
OWN = "and own ones"


@dataclass(frozen=True)
class Fact:
    """One fact of a thing's page: a measure, or words."""

    label: str
    measure: Measure | None
    text: str
    origin: str


class Facts(list[Fact]):
    """What a page lists of a row. A table file leaves them out: the values stand in columns of their own."""


def values(fields: Iterable[Field], row: Any) -> FieldValues:
    """The values of `row`, known or not; measures with where they came from."""
    return FieldValues({field.name: _value(field, row) for field in fields})


def facts(fields: Iterable[Field], row: Any) -> Facts:
    """What is known of `row` for the list of facts on its page; what was left open is left out."""
    return Facts(_fact(field, row) for field in fields if field.listed and not is_open(getattr(row, field.column)))


def in_words(field: Field, text: str, units: DisplayUnits) -> str:
    """A value as corrections keep it, a text in storage units, as a person reads it; '' for an open one."""
    if field.kind == "yes/no":
        return "yes" if text in ("True", "1", "yes") else "no"
    if not text:
        return text
    if field.kind == "moment":
        return f"{day_text(text[:10])}, {text[11:16]}" if field.offset else _day_and_clock(Moment.here(text))
    if field.is_measure:
        return str(show(float(text), field.kind, units.unit(field.kind)))
    if field.unit:
        return in_unit(float(text), field.unit)
    return day_text(text) if field.kind == "date" else field.words(text)


def by_column(fields: Iterable[Field]) -> dict[str, Field]:
    """The fields by the columns that corrections name."""
    return {field.column: field for field in fields}


def _value(field: Field, row: Any) -> Any:
    value = getattr(row, field.column)
    if field.is_measure:
        return Measure(value, field.kind, field.origin)
    if field.unit:
        return Counted(value, field.unit, field.origin)
    return moment_of(field, row, value) if field.kind == "moment" and value else value


def _fact(field: Field, row: Any) -> Fact:
    value = getattr(row, field.column)
    if field.is_measure:
        return Fact(field.label, Measure(value, field.kind, field.origin), "", field.origin)
    return Fact(field.label, None, _words(field, row, value), field.origin)


def _words(field: Field, row: Any, value: Any) -> str:
    if field.kind == "yes/no":
        return "yes"
    if field.kind == "date":
        return day_text(value)
    if field.kind == "moment":
        return _day_and_clock(moment_of(field, row, value))
    return in_unit(value, field.unit) if isinstance(value, float) else field.words(value)


def in_unit(value: float, unit: str) -> str:
    """A plain number as it is written on a page, with a person's own unit if it has one."""
    return f"{value:.15g} {unit}".strip().replace("-", "\u2212")


def _day_and_clock(moment: Moment) -> str:
    return f"{moment.day()}, {moment.clock()}"
