"""Text to a supply, or messages beside the fields."""

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.stock.fields import FIELDS
from garage.web.fields import Reader


def read_supply(reader: Reader) -> FormData:
    """The supply typed into the form, by column. Raises FormErrors."""
    form = read(FIELDS, reader)
    reader.finish()
    return form
