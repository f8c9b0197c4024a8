"""Mistakes mended on a step that a run rests on: which fields read otherwise, and the step as it reads now."""

from collections.abc import Iterable
from typing import Any

from garage.corrections.sheets import Mended, mended
from garage.corrections.tables import Correction
from garage.fields.definition import Field, FormData
from garage.fields.showing import by_column, in_words
from garage.modifications.fields import STEP_FIELDS
from garage.modifications.tables import Step
from garage.units import DisplayUnits

_FIELDS = by_column(STEP_FIELDS)


def mended_in_words(row: Correction, units: DisplayUnits) -> Mended:
    """A correction as it is read on the page."""
    field = _FIELDS.get(row.field)
    if field is None:
        return mended(row)
    old, new = (in_words(field, text, units) or "nothing" for text in (row.old, row.new))
    return mended(row, field.in_sentence, old, new)


def wanted_corrections(step: Step, form: FormData) -> list[tuple[str, str, str]]:
    """Column, text that stands there, text that should: one for each field that differs."""
    stands = {column: _text(getattr(step, column)) for column in _FIELDS}
    should = {column: _text(form[column]) for column in _FIELDS}
    return [(column, stands[column], should[column]) for column in _FIELDS if stands[column] != should[column]]


def corrected(step: Step, corrections: Iterable[Correction]) -> Step:
    """The step as it reads with its corrections, the latest of a field winning: a copy of its own."""
    mends = {row.field: _value(_FIELDS[row.field], row.new) for row in corrections if row.field in _FIELDS}
    return Step(**{**step.model_dump(), **mends}) if mends else step


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(float(value)) if isinstance(value, float) else str(value)


def _value(field: Field, text: str) -> Any:
    if field.kind == "yes/no":
        return text == "yes"
    if field.is_number:
        read = int if field.kind == "whole" else float
        return read(text) if text else None
    return (text or None) if field.kind == "moment" else text
