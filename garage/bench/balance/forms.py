"""Texts of a balance sheet's forms to what is kept."""

from dataclasses import dataclass

from garage.bench.balance.part_lines import PART_FIELDS, parts_of
from garage.bench.definition import WrongLine
from garage.calc.balance import balance
from garage.web.fields import Reader
from garage.web.rows import Cell, read_lines

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
    """The parts as the lines that are kept, once they can be balanced: those in rows, then those that were put in
    together. Raises FormErrors."""
    together = reader.long_text("part", most=_LONGEST_SHEET)
    lines = read_lines(reader, "part", PART_FIELDS) + [
        Cell("part", line.replace("\t", ";")) for line in together.splitlines() if line.strip()
    ]
    if not lines:
        reader.fail("part", "No part is written down yet.")
    try:
        balance(parts_of("\n".join(line.text for line in lines)))
    except WrongLine as wrong:
        at = lines[wrong.number - 1].field
        is_one = at != "part" and wrong.field
        reader.fail(*((f"{at}_{wrong.field}", wrong.words) if is_one else ("part", str(wrong))))
    except ValueError as error:
        reader.fail("part", str(error))
    reader.finish()
    return "\n".join(line.text for line in lines)


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
