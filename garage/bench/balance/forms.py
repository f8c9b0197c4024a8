"""Texts of a balance sheet's forms to what is kept."""

from dataclasses import dataclass

from garage.bench.balance.part_lines import parts_of
from garage.calc.balance import balance
from garage.web.fields import Reader

_LONGEST_SHEET = 20000
_FURTHEST_MM, _HEAVIEST_G = 100000, 1000000


@dataclass(frozen=True)
class ScaleFormData:
    """Two scales under a boat, in mm from the transom and in g."""

    first_x_mm: float
    first_g: float
    second_x_mm: float
    second_g: float
    note: str


def read_parts(reader: Reader) -> str:
    """The lines of parts, once they can be balanced. Raises FormErrors."""
    text = reader.long_text("part", required=True, most=_LONGEST_SHEET)
    if text:
        try:
            balance(parts_of(text))
        except ValueError as error:
            reader.fail("part", str(error))
    reader.finish()
    return text


def read_scales(reader: Reader) -> ScaleFormData:
    """What two scales read. Raises FormErrors."""
    first_x = reader.quantity("first_x", "length", -_FURTHEST_MM, _FURTHEST_MM, required=True)
    first = reader.quantity("first", "mass", 0, _HEAVIEST_G, required=True)
    second_x = reader.quantity("second_x", "length", -_FURTHEST_MM, _FURTHEST_MM, required=True)
    second = reader.quantity("second", "mass", 0, _HEAVIEST_G, required=True)
    note = reader.text("note")
    if first is not None and second is not None and first + second <= 0:
        reader.fail("first", "The two scales must read more than zero together.")
    if first_x is not None and first_x == second_x:
        reader.fail("second_x", "The two scales cannot stand at the same place.")
    reader.finish()
    assert first_x is not None and first is not None and second_x is not None and second is not None
    return ScaleFormData(first_x, first, second_x, second, note)
