"""Text to a row of any collection, or messages beside the fields."""

from typing import Any

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.inventory.collection import Collection
from garage.moments import day_text
from garage.web.fields import Reader


def read_row(collection: Collection, reader: Reader) -> FormData:
    """What was typed into the form, by column. Raises FormErrors."""
    form = read(collection.fields, reader)
    collection.mind(reader, form)
    reader.finish()
    return form


def read_retirement(collection: Collection, row: Any, reader: Reader) -> FormData:
    """When, how and why the thing in `row` leaves the list. Raises FormErrors."""
    form = read(collection.retirement, reader)
    # Both may be empty in the database, where most things are in use.
    if not form["retired_on"]:
        reader.fail("retired_on", "This is needed.")
    if not form["retired_how"]:
        reader.fail("retired_how", "Choose one.")
    _refuse_before_it_came(collection, row, reader, form["retired_on"])
    reader.finish()
    return form


def _refuse_before_it_came(collection: Collection, row: Any, reader: Reader, day: str) -> None:
    for field in collection.fields:
        came = getattr(row, field.column) if field.name == collection.came else ""
        if came and day and day < came:
            reader.fail("retired_on", f"That is before it was there: {field.in_sentence} {day_text(came)}.")
