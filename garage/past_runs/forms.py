"""Text to the file of a spreadsheet, and to what its columns are, or messages beside the fields."""

import io
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from garage.past_runs.columns import columns_of, past_fields, suggested, unit_for
from garage.past_runs.reading import MOST_BYTES, SheetOfRows, UnreadableTable, read_table
from garage.past_runs.row import DATE_ORDERS, RowRules
from garage.photos.files import PartFile, give_name, write_part
from garage.photos.intake import Upload
from garage.runs.fields import SPEED_HOWS, WAYS
from garage.units import KINDS, DisplayUnits
from garage.web.fields import Reader

ENDING = "csv"
_COLUMN = "column_"


@dataclass(frozen=True)
class Choices:
    """Which column is what, the unit of bare numbers in it, and what holds for every row that does not say."""

    columns: dict[str, int] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    date_order: str = ""
    hull_id: int | None = None
    water: str = ""
    speed_how: str = ""
    ways: str = ""
    retired_too: bool = False
    built_then: bool = False

    def rules(self, width: int) -> RowRules:
        """How rows of so many cells are to be read."""
        return RowRules(columns_of(asdict(self), width), self.units, self.date_order)


def stored_at(files_dir: Path, sha256: str) -> Path:
    """Where the spreadsheet of that hash lies."""
    return files_dir / sha256[:2] / f"{sha256}.{ENDING}"


def read_file(reader: Reader, uploads: list[Any], files_dir: Path) -> tuple[str, PartFile]:
    """The name of the spreadsheet chosen, and its file under its name. Raises FormErrors, nothing left then."""
    if not uploads:
        reader.fail("sheet", "Choose a file.")
        reader.finish()
    upload: Upload = uploads[0]
    upload.file.seek(0)
    content = upload.file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        reader.fail("sheet", f"It is too large; {MOST_BYTES // 1_000_000} MB are taken in at once.")
    try:
        read_table(content)
    except UnreadableTable as error:
        reader.fail("sheet", str(error))
    reader.finish()
    part = write_part(files_dir, io.BytesIO(content))
    give_name(part, stored_at(files_dir, part.sha256))
    name = "".join(sign for sign in (upload.filename or "") if sign.isprintable())
    return name[:120] or "spreadsheet", part


def first_choices(table: SheetOfRows, units: DisplayUnits) -> Choices:
    """What the headings suggest; bare numbers are in the unit of the heading, else in the one preferred."""
    columns = suggested(table.headings)
    named = {
        one.name: unit_for(table.headings[columns[one.name]], one) if one.name in columns else ""
        for one in past_fields()
        if one.is_measure
    }
    by_name = {one.name: one for one in past_fields()}
    in_use = {name: unit or units.unit(by_name[name].kind) for name, unit in named.items()}
    return Choices(columns, in_use, DATE_ORDERS[0])


def read_choices(reader: Reader, width: int) -> Choices:
    """The choices typed into the form. Raises FormErrors."""
    columns: dict[str, int] = {}
    units: dict[str, str] = {}
    numbers = ("", *(str(number) for number in range(width)))
    # A form that was opened before an own field was put away still sends it.
    for one in past_fields({name.removeprefix(_COLUMN) for name in reader.names() if name.startswith(_COLUMN)}):
        chosen = reader.choice(f"column_{one.name}", numbers)
        if chosen:
            if int(chosen) in columns.values():
                reader.fail(f"column_{one.name}", "That column is taken for something else already.")
            columns[one.name] = int(chosen)
        if one.is_measure:
            stored = KINDS[one.kind].storage_unit
            units[one.name] = reader.choice(f"unit_{one.name}", KINDS[one.kind].units) or stored
    hull = reader.text("all_hull", most=16)
    if hull and not (hull.isascii() and hull.isdigit()):
        reader.fail("all_hull", "Choose one from the list.")
    water = reader.text("all_water", most=120)
    if "date" not in columns:
        reader.fail("column_date", "Which column holds the date?")
    if "hull" not in columns and not hull:
        reader.fail("column_hull", "Which column names the hull? Or choose one hull for all rows below.")
    if "water" not in columns and not water:
        reader.fail("column_water", "Which column names the water? Or write one for all rows below.")
    choices = Choices(
        columns,
        units,
        reader.choice("date_order", DATE_ORDERS, required=True),
        int(hull) if hull and "all_hull" not in reader.errors else None,
        water,
        reader.choice("all_speed_how", SPEED_HOWS),
        reader.choice("all_ways", WAYS),
        reader.flag("retired_too"),
        reader.flag("built_then"),
    )
    reader.finish()
    return choices


def choice_values(choices: Choices) -> dict[str, str]:
    """The texts that stand in the form."""
    values = {f"column_{name}": str(number) for name, number in choices.columns.items()}
    values |= {f"unit_{name}": unit for name, unit in choices.units.items()}
    return values | {
        "date_order": choices.date_order,
        "all_hull": str(choices.hull_id or ""),
        "all_water": choices.water,
        "all_speed_how": choices.speed_how,
        "all_ways": choices.ways,
        "retired_too": "yes" if choices.retired_too else "",
        "built_then": "yes" if choices.built_then else "",
    }
