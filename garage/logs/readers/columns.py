"""What a column of a delimited file can be, in which units, and what its heading suggests."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.logs.readers.nmea import KNOT_MS
from garage.logs.readers.texts import clocks, moments, numbers

_MPH_MS = 0.44704

# role -> unit -> factor to the unit of the track's column. Times and temperatures are read in their own ways.
ROLES: Mapping[str, Mapping[str, float]] = {
    "time": {
        "seconds": 1.0, "milliseconds": 1e-3, "seconds since 1970": 1.0, "milliseconds since 1970": 1e-3,
        "date and time": 1.0, "time of day": 1.0,
    },
    "date": {"date": 1.0},
    "latitude": {"degrees": 1.0},
    "longitude": {"degrees": 1.0},
    "speed": {"km/h": 1 / 3.6, "m/s": 1.0, "mph": _MPH_MS, "kn": KNOT_MS},
    "hdop": {"number": 1.0},
    "voltage_v": {"V": 1.0, "mV": 1e-3},
    "current_a": {"A": 1.0, "mA": 1e-3},
    "shaft_rpm": {"rpm": 1.0, "rev/s": 60.0, "electrical rpm, 4 poles": 0.5, "electrical rpm, 6 poles": 1 / 3},
    "motor_c": {"°C": 1.0, "°F": 1.0},
    "controller_c": {"°C": 1.0, "°F": 1.0},
    "pack_c": {"°C": 1.0, "°F": 1.0},
    "throttle_percent": {"%": 1.0},
}  # fmt: skip

ROLE_WORDS = {
    "time": "time",
    "date": "date, beside a time of day",
    "latitude": "latitude",
    "longitude": "longitude",
    "speed": "speed over ground, as the receiver gives it",
    "hdop": "dilution of precision (HDOP)",
    "voltage_v": "voltage",
    "current_a": "current",
    "shaft_rpm": "shaft speed",
    "motor_c": "motor temperature",
    "controller_c": "speed controller temperature",
    "pack_c": "pack temperature",
    "throttle_percent": "throttle",
}

# Whole words of a heading, lower case.
_HINTS: tuple[tuple[str, frozenset[str]], ...] = (
    ("latitude", frozenset({"lat", "latitude"})),
    ("longitude", frozenset({"lon", "lng", "long", "longitude"})),
    ("hdop", frozenset({"hdop", "dop"})),
    ("shaft_rpm", frozenset({"rpm", "revs"})),
    ("voltage_v", frozenset({"voltage", "volt", "volts", "vbat"})),
    ("current_a", frozenset({"current", "amps", "ampere", "amperes"})),
    ("throttle_percent", frozenset({"throttle"})),
    ("time", frozenset({"time", "timestamp", "elapsed", "seconds", "millis", "datetime", "utc", "t"})),
    ("date", frozenset({"date", "day"})),
    ("speed", frozenset({"speed", "velocity", "kmh", "mph", "knots", "sog"})),
)
_UNIT_WORDS = {
    "km/h": "km/h", "kmh": "km/h", "kph": "km/h", "m/s": "m/s", "ms-1": "m/s", "mps": "m/s", "mph": "mph",
    "kn": "kn", "kt": "kn", "kts": "kn", "knots": "kn", "v": "V", "mv": "mV", "a": "A", "ma": "mA", "rpm": "rpm",
    "1/min": "rpm", "c": "°C", "°c": "°C", "degc": "°C", "f": "°F", "°f": "°F", "degf": "°F", "s": "seconds",
    "sec": "seconds", "ms": "milliseconds", "%": "%", "deg": "degrees", "°": "degrees",
}  # fmt: skip
_ROLE_OF_UNIT = {
    "km/h": "speed", "m/s": "speed", "mph": "speed", "kn": "speed", "V": "voltage_v", "mV": "voltage_v",
    "A": "current_a", "mA": "current_a", "rpm": "shaft_rpm",
}  # fmt: skip
_BRACKETED = re.compile(r"[(\[{]\s*([^)\]}]{1,12}?)\s*[)\]}]")


@dataclass(frozen=True)
class Picked:
    """One column picked for a role: its place from 0, and the unit it is in."""

    column: int
    unit: str


def heading_unit(heading: str, units_row: str = "") -> str:
    """The unit that a heading or the row of units names, as ROLES knows it; '' if none."""
    for text in (units_row, *_BRACKETED.findall(heading)):
        unit = _UNIT_WORDS.get(text.strip().strip("()[]").casefold())
        if unit:
            return unit
    words = re.split(r"[\s_]+", heading.strip().casefold())
    return _UNIT_WORDS.get(words[-1], "") if len(words) > 1 else ""


def guess(headings: Sequence[str], units_row: Sequence[str], rows: Sequence[Sequence[str]]) -> dict[str, Picked]:
    """What each column is most likely, by its heading, its unit and what stands in it. Never two for one role."""
    picked: dict[str, Picked] = {}
    for column, heading in enumerate(headings):
        unit = heading_unit(heading, units_row[column] if column < len(units_row) else "")
        role = _role(heading, unit)
        cells = [row[column] for row in rows if column < len(row) and row[column].strip()]
        if not role or role in picked or not cells or (role == "shaft_rpm" and _all_zero(cells)):
            continue
        chosen = time_unit(cells, unit) if role == "time" else _unit_for(role, unit)
        if chosen:
            picked[role] = Picked(column, chosen)
    return picked


def _role(heading: str, unit: str) -> str:
    if unit in _ROLE_OF_UNIT:
        return _ROLE_OF_UNIT[unit]
    words = set(re.split(r"[^a-z0-9°%]+", heading.casefold()))
    if unit in ("°C", "°F") or words & {"temp", "temperature"}:
        return _temperature(words)
    return next((role for role, hints in _HINTS if words & hints), "")


def _temperature(words: set[str]) -> str:
    if words & {"motor"}:
        return "motor_c"
    if words & {"battery", "pack", "cell", "lipo"}:
        return "pack_c"
    return "controller_c" if words & {"esc", "controller", "fet", "fets"} else ""


def _unit_for(role: str, unit: str) -> str:
    known = ROLES[role]
    if unit in known:
        return unit
    # A speed without its unit, or a temperature: nobody can know, so it is asked for.
    return next(iter(known)) if role not in ("speed", "motor_c", "controller_c", "pack_c") else ""


def _all_zero(cells: Sequence[str]) -> bool:
    values = numbers(cells)
    return not any(value > 0 for value in values.tolist())


def time_unit(cells: Sequence[str], unit: str = "") -> str:
    """In which way times are written, by some of them; '' if in none that is known."""
    values = numbers([cell.replace(",", ".") for cell in cells])
    if not any(value != value for value in values.tolist()):
        largest = float(max(values.tolist()))
        if largest > 1e11:
            return "milliseconds since 1970"
        if largest > 1e8:
            return "seconds since 1970"
        return "milliseconds" if unit == "milliseconds" else "seconds"
    if not any(value != value for value in moments(cells).tolist()):
        return "date and time"
    if not any(value != value for value in clocks(cells).tolist()):
        return "time of day"
    return ""
