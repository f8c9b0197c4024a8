"""Slips mended on a step that a run rests on: which fields read otherwise, and the step as it reads now."""

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from garage.corrections.tables import Correction
from garage.modifications.step_forms import STEP_FIELDS, StepDraft
from garage.modifications.tables import Step
from garage.moments import Moment

_WORDS = {
    "what": "what was done",
    "density_kg_m3": "density",
    "width_mm": "width",
    "height_mm": "height",
    "wall_mm": "wall",
    "diameter_mm": "diameter",
    "area_mm2": "area",
    "length_mm": "length",
    "adds_mass": "adds its mass",
    "cure_h": "cure time",
    "cure_temperature_c": "temperature while curing",
    "minutes_spent": "time spent",
    "mass_weighed_g": "weighed mass",
    "done_at": "when it was done",
}
_WHOLE = ("count", "coats")
_NUMBERS = (
    "density_kg_m3",
    "width_mm",
    "height_mm",
    "wall_mm",
    "diameter_mm",
    "area_mm2",
    "length_mm",
    "cure_h",
    "cure_temperature_c",
    "minutes_spent",
    "mass_weighed_g",
)


def field_words(field: str) -> str:
    """What a column of a step is called on the page."""
    return _WORDS.get(field, field)


def field_text(field: str, kept: str) -> str:
    """What a correction kept of a field, as it is read on the page."""
    if field != "done_at" or not kept:
        return kept
    done = Moment.here(kept)
    return f"{done.day()}, {done.clock()}"


def wanted_corrections(step: Step, draft: StepDraft) -> list[tuple[str, str, str]]:
    """Field, text that stands there, text that should: one for each field that differs."""
    typed = asdict(draft)
    return [
        (name, _text(getattr(step, name)), _text(typed[name]))
        for name in STEP_FIELDS
        if _text(getattr(step, name)) != _text(typed[name])
    ]


def corrected(step: Step, corrections: Iterable[Correction]) -> Step:
    """The step as it reads with its corrections, the latest of a field winning: a copy of its own."""
    mended = {row.field: _value(row.field, row.new) for row in corrections if row.field in STEP_FIELDS}
    return Step(**{**step.model_dump(), **mended}) if mended else step


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(float(value)) if isinstance(value, float) else str(value)


def _value(field: str, text: str) -> Any:
    if field == "adds_mass":
        return text == "yes"
    if field == "done_at":
        return text or None
    if field in _NUMBERS:
        return float(text) if text else None
    if field in _WHOLE:
        return int(text) if text else None
    return text
