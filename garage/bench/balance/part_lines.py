"""The lines of a balance sheet, `name;mass;x;y;z`, as parts at places."""

from garage.calc.balance import PlacedPart
from garage.units import UnreadableQuantity, parse_in_unit

_MOST_PARTS = 500


def parts_of(text: str) -> list[PlacedPart]:
    """Parts from lines `name;mass;x;y;z`, y and z as far as known. ValueError names the line that is wrong."""
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > _MOST_PARTS:
        raise ValueError(f"At most {_MOST_PARTS} parts go here.")
    return [_part(line) for line in lines]


def _part(line: str) -> PlacedPart:
    cells = [cell.strip() for cell in line.split(";")]
    if not 3 <= len(cells) <= 5 or not cells[0]:
        raise ValueError(f"“{line[:60]}”: write a part as name;mass;x;y;z, y and z if you know them.")
    try:
        mass = parse_in_unit(cells[1], "mass", "g")
        places = [parse_in_unit(cell, "length", "mm") if cell else None for cell in cells[2:]]
    except UnreadableQuantity as unread:
        raise ValueError(f"“{line[:60]}”: {unread}") from unread
    if mass < 0:
        raise ValueError(f"“{line[:60]}”: a mass cannot be less than nothing.")
    along, *others = places
    if along is None:
        raise ValueError(f"“{line[:60]}”: x is needed.")
    return PlacedPart(cells[0], mass, along, *others)
