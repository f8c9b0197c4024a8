"""Text to a row of any collection, or messages beside the fields."""

from typing import Any

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.inventory.collection import Collection
from garage.moments import Moment, day_text
from garage.web.fields import Reader


def read_row(collection: Collection, reader: Reader) -> FormData:
    """What was typed into the form, by column. Raises FormErrors."""
    form = read(collection.fields, reader)
    collection.mind(reader, form)
    reader.finish()
    return form


def read_retirement(collection: Collection, row: Any, reader: Reader, last_run: Moment | None = None) -> FormData:
    """When, how and why the thing in `row` leaves the list; before its `last_run` only if that is ticked. Raises
    FormErrors."""
    form = read(collection.retirement, reader)
    # Both may be empty in the database, where most things are in use.
    if not form["retired_on"]:
        reader.fail("retired_on", "This is needed.")
    if not form["retired_how"]:
        reader.fail("retired_how", "Choose one.")
    _refuse_before_it_came(collection, row, reader, form["retired_on"])
    if last_run and form["retired_on"] and form["retired_on"] < last_run.date() and not reader.flag("ran_since"):
        name = collection.called(row)
        reader.fail("ran_since", f"{name} ran on {last_run.day()}, after that day. Tick this if the day is right.")
    reader.finish()
    return form


def _refuse_before_it_came(collection: Collection, row: Any, reader: Reader, day: str) -> None:
    for field in collection.fields:
        came = getattr(row, field.column) if field.name == collection.came else ""
        if came and day and day < came:
            reader.fail("retired_on", f"That is before it was there: {field.in_sentence} {day_text(came)}.")
