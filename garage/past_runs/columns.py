"""What the columns of a spreadsheet may be, and what their headings suggest; pure."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.units import KINDS


@dataclass(frozen=True)
class FieldKind:
    """One thing that a column may hold: its name in the form, how it is called, its kind of measure, usual headings."""

    name: str
    label: str
    quantity: str = ""
    headings: tuple[str, ...] = ()


FIELDS = (
    FieldKind("date", "Date", headings=("date", "day", "datum", "when", "date and time", "timestamp")),
    FieldKind("time", "Time of day", headings=("time", "start", "started", "clock", "uhrzeit")),
    FieldKind("hull", "Hull", headings=("hull", "boat", "model")),
    FieldKind("water", "Water", headings=("water", "place", "lake", "pond", "location", "venue")),
    FieldKind("speed", "Speed", "speed", ("speed", "top speed", "max speed", "vmax", "best", "gps speed")),
    FieldKind("speed_how", "How the speed was read", headings=("how", "speed how", "read by", "source")),
    FieldKind("ways", "One way or both ways", headings=("ways", "direction", "directions")),
    FieldKind("prop", "Prop (its code)", headings=("prop", "propeller", "prop code")),
    FieldKind("pack", "Pack (its code)", headings=("pack", "battery", "lipo", "pack code")),
    FieldKind("duration", "Run time", "duration", ("duration", "run time", "runtime", "length of run")),
    FieldKind("charge", "Charge put back", "charge", ("charge", "charge put back", "mah", "mah used", "put back")),
    FieldKind("pack_temperature", "Pack after the run", "temperature", ("pack temp", "pack temperature")),
    FieldKind("motor_temperature", "Motor after the run", "temperature", ("motor temp", "motor temperature")),
    FieldKind("controller_temperature", "Controller after the run", "temperature", ("esc temp", "controller temp")),
    FieldKind("air", "Air", "temperature", ("air", "air temp", "air temperature", "temp")),
    FieldKind("water_temperature", "Water temperature", "temperature", ("water temp", "water temperature")),
    FieldKind("wind", "Wind", "wind", ("wind", "wind speed")),
    FieldKind("note", "Note", headings=("note", "notes", "remarks", "comment", "comments", "setup")),
    FieldKind("try_next", "Try next", headings=("try next", "next", "to do")),
)  # fmt: skip
BY_NAME = {field.name: field for field in FIELDS}
_IN_BRACKETS = re.compile(r"^(.*?)\s*[\[(]([^\])]*)[\])]\s*$")
_TRAILING = re.compile(r"^(.*?)[\s,]+(\S+)$")
_SPOKEN = {
    "kmh": "km/h", "kph": "km/h", "kmph": "km/h", "c": "°C", "f": "°F", "degc": "°C", "degf": "°F", "deg c": "°C",
    "deg f": "°F", "sec": "s", "secs": "s", "seconds": "s", "mins": "min", "minutes": "min", "kt": "kn", "kts": "kn",
    "knots": "kn", "ms": "m/s", "mps": "m/s",
}  # fmt: skip


def heading_parts(heading: str) -> tuple[str, str]:
    """The words of a heading and the unit in it: `Top speed (mph)` is `top speed` and `mph`; '' for no unit."""
    text = re.sub(r"[_\s]+", " ", heading).strip().lower()
    for pattern in (_IN_BRACKETS, _TRAILING):
        found = pattern.match(text)
        if found and (unit := _unit(found[2])):
            return found[1].strip(), unit
    return text, ""


def _unit(text: str) -> str:
    tidy = text.strip().lower()
    named = _SPOKEN.get(tidy, tidy)
    for kind in {field.quantity for field in FIELDS if field.quantity}:
        for unit in KINDS[kind].units:
            if unit.lower() == named.lower():
                return unit
    return ""


def unit_for(heading: str, field: FieldKind) -> str:
    """The unit that a heading names for what its column holds; '' if it names none of that kind."""
    unit = heading_parts(heading)[1]
    return unit if field.quantity and unit in KINDS[field.quantity].units else ""


def suggested(headings: Sequence[str]) -> dict[str, int]:
    """Which column each field most likely is, by number from 0; every column at most once."""
    found: dict[str, int] = {}
    words = [heading_parts(heading)[0] for heading in headings]
    for exact in (True, False):
        for field in FIELDS:
            for number, word in enumerate(words):
                if field.name in found or number in found.values():
                    continue
                if word in field.headings or (not exact and _resembles(word, field.headings)):
                    found[field.name] = number
    return found


def _resembles(word: str, headings: tuple[str, ...]) -> bool:
    return any(len(heading) > 3 and re.search(rf"\b{re.escape(heading)}\b", word) for heading in headings)


def columns_of(choices: Mapping[str, object], width: int) -> dict[str, int]:
    """The chosen columns that are there, by field."""
    columns = choices.get("columns", {})
    assert isinstance(columns, dict)
    return {name: number for name, number in columns.items() if name in BY_NAME and 0 <= number < width}
