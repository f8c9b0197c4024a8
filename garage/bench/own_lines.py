"""A person's other props on the same hull: a row of fields each, and as lines `diameter;pitch;speed;current`."""

from garage.bench.definition import WrongLine
from garage.calc.whatif import MOST_OWN, OwnRun
from garage.fields.definition import Field
from garage.units import UnreadableQuantity, parse_in_unit

_AS_A_LINE = "write a prop as diameter;pitch;speed, and ;current if you know it."
_CELLS = (
    ("diameter", "length", "mm", 2000), ("pitch", "length", "mm", 5000), ("speed", "speed", "km/h", 1000),
    ("current", "current", "A", 20000),
)  # fmt: skip
_NEEDED = 3
OWN_FIELDS = tuple(Field(name, name.capitalize(), hint=unit, short=True) for name, _, unit, _ in _CELLS)


def own_runs_of(text: str) -> list[OwnRun]:
    """Own runs from lines, the current as far as known. ValueError names the line that is wrong."""
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_OWN:
        raise ValueError(f"At most {MOST_OWN} other props go here.")
    return [_own_run(number, line) for number, line in enumerate(lines, 1)]


def _own_run(number: int, line: str) -> OwnRun:
    cells = [cell.strip() for cell in line.split(";")]
    cells += [""] * (_NEEDED - len(cells))
    missing = next((_CELLS[at][0] for at in range(_NEEDED) if not cells[at]), "")
    if missing or len(cells) > len(_CELLS):
        raise WrongLine(number, line, missing, _AS_A_LINE, "This is needed." if missing else "")
    found = []
    for cell, (name, kind, unit, most) in zip(cells, _CELLS, strict=False):
        if not cell:
            continue
        try:
            value = parse_in_unit(cell, kind, unit)
        except UnreadableQuantity as unread:
            raise WrongLine(number, line, name, str(unread)) from unread
        if not 0 < value <= most:
            raise WrongLine(number, line, name, f"the {name} must be more than 0 and at most {most} {unit}.")
        found.append(value)
    return OwnRun(*found)
