"""One row of a spreadsheet to what a run is made of, or why it cannot be one; pure."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from garage.past_runs.columns import BY_NAME, FIELDS
from garage.runs.tables import SPEED_HOWS, WAYS
from garage.units import UnreadableQuantity, parse_quantity

DATE_ORDERS = ("year first", "day first", "month first")
_DATE = re.compile(r"(\d{1,4})[-./ ](\d{1,2})[-./ ](\d{1,4})")
_TIME = re.compile(r"(\d{1,2})[:.h](\d{2})(?:[:.](\d{2}))?\s*([ap])?\.?m?\.?", re.IGNORECASE)
# Within what a figure is taken for one at all; the run's own form asks the same.
_BOUNDS = {
    "speed": (0.1, 400.0), "duration": (1.0, 14400.0), "charge": (1.0, 100000.0), "wind": (0.0, 60.0),
    "pack_temperature": (-20.0, 150.0), "motor_temperature": (-20.0, 250.0), "controller_temperature": (-20.0, 250.0),
    "air": (-30.0, 50.0), "water_temperature": (-2.0, 45.0),
}  # fmt: skip
_MOST_CHARACTERS = {"note": 5000, "try_next": 300}
_FIRST_YEAR = 1950


class Refused(ValueError):
    """A row that cannot be taken in; its text says why."""


@dataclass(frozen=True)
class PastRow:
    """A row as it was understood. Measures are in storage units; texts as they stand."""

    day: date
    clock: time | None
    texts: Mapping[str, str] = field(default_factory=dict)
    measures: Mapping[str, float] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """The text of a field, '' if its column is not there or empty."""
        return self.texts.get(name, "")


@dataclass(frozen=True)
class RowRules:
    """How rows are to be read: which column is what, the unit of bare numbers by field, the order of dates."""

    columns: Mapping[str, int]
    units: Mapping[str, str]
    date_order: str


def read_row(cells: tuple[str, ...], rules: RowRules) -> PastRow:
    """What a row says. Raises Refused with everything that is wrong with it."""
    wrong: list[str] = []
    texts: dict[str, str] = {}
    measures: dict[str, float] = {}
    for kind in FIELDS:
        written = cells[rules.columns[kind.name]] if kind.name in rules.columns else ""
        if not written:
            continue
        try:
            if kind.quantity:
                measures[kind.name] = _measure(written, kind.name, rules.units.get(kind.name, ""))
            else:
                texts[kind.name] = _checked_text(written, kind.name)
        except (UnreadableQuantity, Refused) as error:
            wrong.append(f"{kind.label}: {error}")
    day, clock = None, None
    try:
        day, clock = read_day_and_time(texts.pop("date", ""), texts.pop("time", ""), rules.date_order)
    except Refused as error:
        wrong.append(str(error))
    if wrong or day is None:
        raise Refused(" ".join(wrong))
    return PastRow(day, clock, texts, measures)


def _measure(written: str, name: str, unit: str) -> float:
    value = parse_quantity(written, BY_NAME[name].quantity, unit or None)
    low, high = _BOUNDS[name]
    if not low <= value <= high:
        raise Refused(f"“{written[:40]}” is out of all reason.")
    return value


def _checked_text(written: str, name: str) -> str:
    most = _MOST_CHARACTERS.get(name, 200)
    if len(written) > most:
        raise Refused(f"{len(written)} characters were written; at most {most} fit here.")
    if name == "speed_how":
        return _one_of(written, SPEED_HOWS)
    return _one_of(written, WAYS) if name == "ways" else written


def _one_of(written: str, choices: tuple[str, ...]) -> str:
    tidy = " ".join(written.lower().split())
    if tidy not in choices:
        raise Refused(f"“{written[:40]}” is none of: {', '.join(choice for choice in choices if choice)}.")
    return tidy


def read_day_and_time(day: str, clock: str, order: str) -> tuple[date, time | None]:
    """A date and, if written, a time of day. Raises Refused in words."""
    if not day:
        raise Refused("Date: this is needed.")
    found = _DATE.search(day)
    if not found:
        raise Refused(f"Date: “{day[:40]}” is not a date.")
    rest = day[found.end() :].strip(" T,")
    first, second, third = found.groups()
    if len(first) == 4:
        year, month, number = first, second, third
    elif order == "month first":
        month, number, year = first, second, third
    elif order == "day first":
        number, month, year = first, second, third
    else:
        raise Refused(f"Date: “{day[:40]}”: say above whether the day or the month comes first.")
    full_year = int(year) + (2000 if len(year) == 2 else 0)
    try:
        read = date(full_year, int(month), int(number))
    except ValueError as error:
        raise Refused(f"Date: “{day[:40]}” is not in the calendar, read {order}.") from error
    if read.year < _FIRST_YEAR:
        raise Refused(f"Date: {read.year} is too long ago.")
    return read, _time(clock or rest)


def _time(written: str) -> time | None:
    if not written:
        return None
    found = _TIME.match(written)
    if not found:
        raise Refused(f"Time of day: “{written[:40]}” is no time.")
    hours, half = int(found[1]), (found[4] or "").lower()
    if half:
        hours = hours % 12 + (12 if half == "p" else 0)
    try:
        return time(hours, int(found[2]), int(found[3] or 0))
    except ValueError as error:
        raise Refused(f"Time of day: “{written[:40]}” is no time.") from error


def local_moment(day: date, clock: time) -> datetime:
    """That time of that day by this machine's clock."""
    return datetime.combine(day, clock).astimezone()
