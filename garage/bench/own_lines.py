"""Lines of a person's other props on the same hull, `diameter;pitch;speed;current`."""

from garage.calc.whatif import MOST_OWN, OwnRun
from garage.units import UnreadableQuantity, parse_in_unit

_CELLS = (("diameter", "length", "mm", 2000), ("pitch", "length", "mm", 5000), ("speed", "speed", "km/h", 1000))
_CURRENT = ("current", "current", "A", 20000)


def own_runs_of(text: str) -> list[OwnRun]:
    """Own runs from lines, the current as far as known. ValueError names the line that is wrong."""
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_OWN:
        raise ValueError(f"At most {MOST_OWN} other props go here.")
    return [_own_run(line) for line in lines]


def _own_run(line: str) -> OwnRun:
    cells = [cell.strip() for cell in line.split(";")]
    if not 3 <= len(cells) <= 4:
        raise ValueError(f"“{line[:60]}”: write a prop as diameter;pitch;speed, and ;current if you know it.")
    wanted = [*_CELLS, *([_CURRENT] if len(cells) == 4 and cells[3] else [])]
    found = []
    for cell, (name, kind, unit, most) in zip(cells, wanted, strict=False):
        try:
            value = parse_in_unit(cell, kind, unit)
        except UnreadableQuantity as unread:
            raise ValueError(f"“{line[:60]}”: {unread}") from unread
        if not 0 < value <= most:
            raise ValueError(f"“{line[:60]}”: the {name} must be more than 0 and at most {most} {unit}.")
        found.append(value)
    return OwnRun(*found)
