"""Text to a field of a person's own, or messages beside the fields."""

from collections.abc import Iterable, Sequence
from typing import Any

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.own_fields.fields import CHOICE, CHOICES, FIELDS, HIGH, LOW, MOST_CHOICES, NUMBER, OWN_KINDS, STEP
from garage.own_fields.tables import OwnField
from garage.units import KINDS, DisplayUnits, entry_text
from garage.web.fields import Reader
from garage.web.rows import texts_in

_IN_ITS_UNIT = (LOW, HIGH, STEP)
_PLAINLY = tuple(field for field in FIELDS if field not in (*_IN_ITS_UNIT, CHOICES))
_SETTLED = ("kind", "unit")
_LONGEST_CHOICE = 60


def read_own_field(
    reader: Reader, labels: Iterable[str], kept: OwnField | None = None, values: Sequence[Any] = ()
) -> FormData:
    """The field typed into the form, by column; `labels` are taken. One that is `kept` and holds `values` already
    stays of its kind and unit. Raises FormErrors."""
    asked = [field for field in _PLAINLY if not (values and field.name in _SETTLED)]
    form = read(asked, reader)
    if kept is not None and values:
        form |= {name: getattr(kept, name) for name in _SETTLED}
        _refuse_another_kind(reader, kept)
    form["label"] = " ".join(form["label"].split())
    if form["label"] and not any(sign.isalnum() for sign in form["label"]):
        reader.fail("label", "A name that can be read has a letter or a figure in it.")
    taken = {label.casefold() for label in labels} - {kept.label.casefold() if kept else ""}
    if form["label"].casefold() in taken:
        reader.fail("label", "There is a field of that name already; call it something else.")
    _check_choices(reader, form, values)
    form |= {field.column: _in_its_unit(reader, field.name, form["kind"]) for field in _IN_ITS_UNIT}
    _check_numbers(reader, form, [value for value in values if isinstance(value, (int, float))])
    if form["unit"] and form["kind"] != NUMBER:
        reader.fail("unit", "Only a plain number has a unit of its own.")
    reader.finish()
    return form


def _refuse_another_kind(reader: Reader, kept: OwnField) -> None:
    """A form that was opened before anything stood in the field asks for its kind still."""
    typed = {name: reader.text(name) for name in _SETTLED}
    if any(text and text != getattr(kept, name) for name, text in typed.items()):
        words = dict(OWN_KINDS)[kept.kind]
        reader.fail("", f"Something is written in it by now, so what goes into it stays: {words}. Nothing was saved.")


def number_texts(row: OwnField, units: DisplayUnits) -> dict[str, str]:
    """The texts of its bounds and its step, in the unit of what it holds."""
    return {field.name: _text(getattr(row, field.column), row.kind, units) for field in _IN_ITS_UNIT}


def _text(value: float | None, kind: str, units: DisplayUnits) -> str:
    if value is None:
        return ""
    return entry_text(value, kind, units.unit(kind)) if kind in KINDS else f"{value:.15g}"


def _in_its_unit(reader: Reader, name: str, kind: str) -> float | None:
    return reader.quantity(name, kind) if kind in KINDS else reader.number(name)


def _check_choices(reader: Reader, form: dict[str, Any], values: Sequence[Any]) -> None:
    written = texts_in(reader, CHOICES.name, str.splitlines, CHOICES.most)
    choices = [line for one in written if (line := " ".join(one.text.split()))]
    form["choices"] = "\n".join(choices)
    if form["kind"] != CHOICE:
        if choices:
            reader.fail("choices", "Only a field of choices has these: choose that above, or leave them out.")
        return
    if len({choice.casefold() for choice in choices}) < len(choices):
        reader.fail("choices", "The same choice stands there twice.")
    elif len(choices) < 2:
        reader.fail("choices", "At least two.")
    elif len(choices) > MOST_CHOICES:
        reader.fail("choices", f"{len(choices)} choices; at most {MOST_CHOICES} can be told apart.")
    elif any(len(choice) > _LONGEST_CHOICE for choice in choices):
        reader.fail("choices", f"At most {_LONGEST_CHOICE} characters for each choice.")
    elif gone := [str(value) for value in values if value not in choices]:
        reader.fail("choices", f"In use, so it stays in the list: {', '.join(gone)}.")


def _check_numbers(reader: Reader, form: FormData, values: Sequence[float]) -> None:
    low, high, step = form["low"], form["high"], form["step"]
    if form["kind"] != NUMBER and form["kind"] not in KINDS:
        for name, bound in (("low", low), ("high", high), ("step", step)):
            if bound is not None:
                reader.fail(name, "Only a number or a measure has this.")
        return
    if low is not None and high is not None and low >= high:
        reader.fail("high", "The highest lies below the lowest: have they changed places?")
    if low is not None and any(value < low for value in values):
        reader.fail("low", "Something lower is written down already; it would no longer fit.")
    if high is not None and any(value > high for value in values):
        reader.fail("high", "Something higher is written down already; it would no longer fit.")
    if step is not None and step <= 0:
        reader.fail("step", "A step is more than nothing.")
