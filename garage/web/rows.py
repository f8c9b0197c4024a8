"""Lists in forms: every entry has a field of its own, so that nobody has to type signs between them.

The third figure of `cells` stands in `cells_3`; the mass of the second of several things, `part`, in `part_2_mass`.
What was copied together from elsewhere may be put into the first field, or be sent under the name of the list, as
links and forms of before do: it is taken apart here.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from garage.fields.definition import Field
from garage.fields.forms import read_as
from garage.units import UnreadableQuantity, parse_quantity
from garage.web.fields import Reader

# Pressed without a script: `row_more=part` asks for one more row, `row_drop=part_3` for one less.
MORE, DROP = "row_more", "row_drop"
# Pressed without a script: the fields of what was chosen are to be shown.
SECTION = "show_fields"
MOST_ROWS = 500
_LONGEST = 200
_PARTED = re.compile(r"[;/\n\t]|,\s+")


@dataclass(frozen=True)
class Cell:
    """A text of a list, and the field beside which a message about it stands."""

    field: str
    text: str


def figures_in(text: str) -> list[str]:
    """The figures that stand together in one text, `65.8; 66.2`, `65,8 66,2` or a column of a table."""
    parts = [part.strip() for part in _PARTED.split(text) if part.strip()]
    if len(parts) == 1 and not any(sign.isalpha() for sign in parts[0]):
        return parts[0].split()
    return parts


def row_numbers(name: str, names: Iterable[str]) -> list[int]:
    """The rows of the list `name` for which there is a field among `names`, in their order."""
    found = re.compile(rf"{re.escape(name)}_([1-9][0-9]{{0,3}})(?:_[a-z_]+)?")
    return sorted({int(hit[1]) for one in names if (hit := found.fullmatch(one))})[:MOST_ROWS]


def rows_shown(name: str, usual: int, names: Iterable[str], pressed: str) -> list[int]:
    """The rows that a form shows: those that are there, at least the `usual` number, and one more if that was
    `pressed`."""
    shown = row_numbers(name, names)
    wanted = max(usual, len(shown) + (pressed == name))
    after = shown[-1] if shown else 0
    return [*shown, *range(after + 1, after + 1 + wanted - len(shown))]


def without_row(typed: Mapping[str, str]) -> Callable[[str], bool]:
    """Whether a field stays, when the row that `row_drop` names is taken out."""
    row = typed.get(DROP, "")
    return lambda name: name != DROP and not (row and (name == row or name.startswith(f"{row}_")))


def list_in(
    reader: Reader, name: str, parts: Callable[[str], list[str]] = figures_in, most: int = _LONGEST
) -> list[Cell]:
    """The texts of a list, open fields among them, each with the field that it stands in; of those that were put
    into one field together it is the list itself."""
    fields = [f"{name}_{number}" for number in _rows(reader, name)]
    cells = [Cell(field, reader.text(field, most=_LONGEST)) for field in fields]
    together = reader.long_text(name, most=most)
    written = [cell for cell in cells if cell.text]
    if not together and written == cells[:1] and written and len(parts(written[0].text)) > 1:
        together, written = written[0].text, []
    if together:
        return [*(Cell(name, part) for part in parts(together)), *written]
    return cells if written else []


def texts_in(reader: Reader, name: str, parts: Callable[[str], list[str]], most: int = _LONGEST) -> list[Cell]:
    """The texts of a list without those left open; `most` characters may stand in one field together."""
    return [cell for cell in list_in(reader, name, parts, most) if cell.text]


def figures_of_each(
    reader: Reader, name: str, kind: str, count: int, each: str, whole: str, *, required: bool = False
) -> list[tuple[str, float]]:
    """One measure for `each` (cell, blade) of `whole` (“a pack of 3S”), all `count` or none, in the storage unit of
    `kind`, each with its field; none if something is wrong."""
    cells = list_in(reader, name)
    if not cells:
        if required:
            reader.fail(name, "This is needed.")
        return []
    typed_apart = all(cell.field != name for cell in cells)
    if typed_apart and len(cells) <= count:
        missing = [cell for cell in cells if not cell.text]
        for cell in missing:
            reader.fail(cell.field, "This one is missing; the others are there.")
        if missing:
            return []
    cells = [cell for cell in cells if cell.text]
    if len(cells) != count:
        written = "One figure" if len(cells) == 1 else f"{len(cells)} figures"
        reader.fail(name, f"{written} for {whole}: one for each {each}.")
        return []
    found = [(cell.field, _measure(reader, cell, kind)) for cell in cells]
    return [(field, value) for field, value in found if value is not None] if _all_there(found) else []


def _all_there(found: Sequence[tuple[str, float | None]]) -> bool:
    return all(value is not None for _, value in found)


def _measure(reader: Reader, cell: Cell, kind: str) -> float | None:
    try:
        return parse_quantity(cell.text, kind, reader.units.unit(kind))
    except UnreadableQuantity as unread:
        reader.fail(cell.field, str(unread))
        return None


def read_rows(reader: Reader, name: str, fields: Sequence[Field]) -> list[tuple[str, dict[str, Any]]]:
    """Rows of several fields, by column, each with how its fields begin; a row left open is left out, and one half
    filled says what is missing."""
    rows = []
    for number in _rows(reader, name):
        row = f"{name}_{number}"
        if not any(reader.text(f"{row}_{field.name}", most=_LONGEST) for field in fields):
            continue
        form = {field.column: read_as(f"{row}_{field.name}", field, reader) for field in fields}
        for field in fields:
            if field.required and form[field.column] in (None, "") and f"{row}_{field.name}" not in reader.errors:
                reader.fail(f"{row}_{field.name}", "This is missing; the rest of the row is there.")
        rows.append((row, form))
    return rows


def _rows(reader: Reader, name: str) -> list[int]:
    return row_numbers(name, reader.names())
