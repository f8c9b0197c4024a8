"""The parts of a balance sheet: a row of fields each, and the lines `name;mass;x;y;z` as they are kept."""

from garage.bench.definition import WrongLine
from garage.calc.balance import PlacedPart
from garage.fields.definition import FURTHER, Field
from garage.units import UnreadableQuantity, parse_in_unit

_MOST_PARTS = 500
_AS_A_LINE = "write a part as name;mass;x;y;z, y and z if you know them."
PART = Field("name", "Part", most=60)
MASS = Field("mass", "Mass", hint="g", short=True)
X = Field("x", "x", hint="mm", short=True)
PART_FIELDS = (PART, MASS, X, *(Field(at, at, hint="mm", short=True, asked=FURTHER) for at in ("y", "z")))
_NEEDED = ("name", "mass", "x")


def parts_of(text: str) -> list[PlacedPart]:
    """Parts from lines `name;mass;x;y;z`, y and z as far as known. ValueError names the line that is wrong."""
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > _MOST_PARTS:
        raise ValueError(f"At most {_MOST_PARTS} parts go here.")
    return [_part(number, line) for number, line in enumerate(lines, 1)]


def _part(number: int, line: str) -> PlacedPart:
    cells = dict(zip((field.name for field in PART_FIELDS), map(str.strip, line.split(";")), strict=False))
    missing = next((name for name in _NEEDED if not cells.get(name)), "")
    if missing == "x" and line.count(";") > 1:
        raise WrongLine(number, line, "x", "x is needed.", "This is needed.")
    if missing or line.count(";") >= len(PART_FIELDS):
        raise WrongLine(number, line, missing, _AS_A_LINE, "This is needed." if missing else "")
    name, mass = cells.pop("name"), _measure(number, line, "mass", cells.pop("mass"), "mass", "g")
    if mass < 0:
        raise WrongLine(number, line, "mass", "a mass cannot be less than nothing.")
    places = {at: _measure(number, line, at, cell, "length", "mm") for at, cell in cells.items() if cell}
    return PlacedPart(name, mass, places["x"], places.get("y"), places.get("z"))


def _measure(number: int, line: str, field: str, cell: str, kind: str, unit: str) -> float:
    try:
        return parse_in_unit(cell, kind, unit)
    except UnreadableQuantity as unread:
        raise WrongLine(number, line, field, str(unread)) from unread
