"""Text to a piece of hardware, or messages beside the fields."""

from garage.drives.fields import fields_of_kind
from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.web.fields import Reader


def read_part(reader: Reader, kind: str) -> FormData:
    """The part of `kind` typed into the form, by column. Raises FormErrors."""
    form = read(fields_of_kind(kind), reader)
    _refuse_odd_poles(reader, form.get("poles"))
    reader.finish()
    return form | {"kind": kind}


def _refuse_odd_poles(reader: Reader, poles: int | None) -> None:
    if poles and poles % 2:
        reader.fail("poles", "A motor has an even number of poles.")
