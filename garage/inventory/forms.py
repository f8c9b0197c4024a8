"""Text to a row of any collection, or messages beside the fields."""

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.inventory.collection import Collection
from garage.web.fields import Reader


def read_row(collection: Collection, reader: Reader) -> FormData:
    """What was typed into the form, by column. Raises FormErrors."""
    form = read(collection.fields, reader)
    collection.mind(reader, form)
    reader.finish()
    return form


def read_retirement(collection: Collection, reader: Reader) -> FormData:
    """When, how and why a thing leaves the list. Raises FormErrors."""
    form = read(collection.retirement, reader)
    # Both may be empty in the database, where most things are in use.
    if not form["retired_on"]:
        reader.fail("retired_on", "This is needed.")
    if not form["retired_how"]:
        reader.fail("retired_how", "Choose one.")
    reader.finish()
    return form
