"""Lists in forms: every entry has a field of its own, so that nobody has to type signs between them.

The third figure of `cells` stands in `cells_3`; the mass of the second of several things, `part`, in `part_2_mass`.
What was copied together from elsewhere may be put into the first field, or be sent under the name of the list, as
links and forms of before do: it is taken apart here.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from garage.fields.definition import Field
from garage.units import UnreadableQuantity, parse_quantity
from garage.web.fields import Reader

# Pressed without a script: `row_more=part` asks for one more row, `row_drop=part_3` for one less.
MORE, DROP = "row_more", "row_drop"
MOST_ROWS = 500
_LONGEST = 200
# A stroke parts figures, but not the parts of a unit such as km/h.
_PARTED = re.compile(r"[;\n\t]|,\s+|/(?=\s*[0-9.])")


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
    reader: Reader, name: str, parts: Callable[[str], Sequence[str]] = figures_in, most: int = _LONGEST
) -> list[Cell]:
    """The texts of a list, open fields among them, each with the field that it stands in; of those that were put
    into one field together it is the list itself."""
    fields = [f"{name}_{number}" for number in _rows(reader, name)]
    cells = [Cell(field, reader.long_text(field, most=_LONGEST)) for field in fields]
    together = reader.long_text(name, most=most)
    written = [cell for cell in cells if cell.text]
    if not together and written == cells[:1] and written and len(parts(written[0].text)) > 1:
        together, written = written[0].text, []
    if together:
        return [*(Cell(name, part) for part in parts(together)), *written]
    return cells if written else []


def texts_in(reader: Reader, name: str, parts: Callable[[str], Sequence[str]], most: int = _LONGEST) -> list[Cell]:
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


def read_lines(reader: Reader, name: str, fields: Sequence[Field]) -> list[Cell]:
    """Rows of several fields as lines, each with how its fields begin; a row left open is left out."""
    names = [f"{name}_{number}_{field.name}" for number in _rows(reader, name) for field in fields]
    longest = {field.name: field.most or _LONGEST for field in fields}
    typed = {one: reader.long_text(one, most=longest[one.rpartition("_")[2]]) for one in names}
    return lines_in(typed, name, [field.name for field in fields])


def lines_in(typed: Mapping[str, str], name: str, fields: Sequence[str]) -> list[Cell]:
    """Rows of several fields as lines, `hull;620;300`, each with how its fields begin; rows left open are left out.
    A row that was copied whole into its first field is a line already."""
    lines = []
    for number in row_numbers(name, typed):
        texts = [typed.get(f"{name}_{number}_{field}", "").strip() for field in fields]
        if any(texts):
            lines.append(Cell(f"{name}_{number}", _line(texts)))
    return lines


def _line(texts: Sequence[str]) -> str:
    first, *others = (" ".join(text.splitlines()) for text in texts)
    if first and not any(others):
        return first.replace("\t", ";")
    return ";".join(text.replace(";", ",").replace("\t", " ") for text in (first, *others)).rstrip(";")


def fields_of_lines(name: str, fields: Sequence[str], text: str) -> dict[str, str]:
    """Lines as texts for the fields of their rows."""
    lines = [line for line in text.splitlines() if line.strip()]
    return {
        f"{name}_{number}_{field}": part.strip()
        for number, line in enumerate(lines, 1)
        for field, part in zip(fields, line.split(";"), strict=False)
    }


def _rows(reader: Reader, name: str) -> list[int]:
    return row_numbers(name, reader.names())
