"""One row of a spreadsheet to what a run is made of, or why it cannot be one; pure."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any

from garage.fields.definition import Field
from garage.fields.forms import LONGEST
from garage.past_runs.columns import past_fields
from garage.units import KINDS, UnreadableQuantity, as_typed, parse_number, parse_quantity

DATE_ORDERS = ("year first", "day first", "month first")
_DATE = re.compile(r"(\d{1,4})[-./ ](\d{1,2})[-./ ](\d{1,4})")
_TIME = re.compile(r"(\d{1,2})[:.h](\d{2})(?:[:.](\d{2}))?\s*([ap])?\.?m?\.?", re.IGNORECASE)
_FIRST_YEAR = 1950
_LONGEST = 200


class Refused(ValueError):
    """A row that cannot be taken in; its text says why."""


def _kept(field: Field, value: Any) -> Any:
    if field.kind == "yes/no":
        return value == "yes"
    return int(value) if field.kind in ("whole", "rating") else value


@dataclass(frozen=True)
class PastRow:
    """A row as it was understood. Measures are in storage units; texts as they stand, and the speed too where it stands
    in another unit."""

    day: date
    clock: time | None
    texts: Mapping[str, str] = field(default_factory=dict)
    measures: Mapping[str, float] = field(default_factory=dict)
    speed_typed: str = ""

    def text(self, name: str) -> str:
        """The text of a field, '' if its column is not there or empty."""
        return self.texts.get(name, "")

    def told(self, fields: Iterable[Field]) -> dict[str, Any]:
        """What the row says of `fields`, by column; what it leaves out is left out."""
        said = {**self.texts, **self.measures}
        return {field.column: _kept(field, said[field.name]) for field in fields if field.name in said}


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
    for one in past_fields(rules.columns):
        written = cells[rules.columns[one.name]] if one.name in rules.columns else ""
        if not written:
            continue
        try:
            if one.is_number:
                measures[one.name] = _figure(written, one, rules.units.get(one.name, ""))
            else:
                texts[one.name] = _checked_text(written, one)
        except (UnreadableQuantity, Refused) as error:
            wrong.append(f"{one.label}: {error}")
    day, clock = None, None
    try:
        day, clock = read_day_and_time(texts.pop("date", ""), texts.pop("time", ""), rules.date_order)
    except Refused as error:
        wrong.append(str(error))
    if wrong or day is None:
        raise Refused(" ".join(wrong))
    return PastRow(day, clock, texts, measures, _speed_typed(cells, rules) if "speed" in measures else "")


def _speed_typed(cells: tuple[str, ...], rules: RowRules) -> str:
    """The speed in the unit of its column."""
    return as_typed(cells[rules.columns["speed"]], "speed", rules.units.get("speed", "") or KINDS["speed"].storage_unit)


def _figure(written: str, field: Field, unit: str) -> float:
    """A figure within what the notebook's own form takes for one."""
    value = parse_quantity(written, field.kind, unit or None) if field.is_measure else parse_number(written)
    low, high = field.low, field.high
    if low is not None and value < low or high is not None and value > high or value == low and field.above_low:
        raise Refused(f"“{written[:40]}” is out of all reason.")
    if field.kind in ("whole", "rating") and not value.is_integer():
        raise Refused("a whole number goes here.")
    return value


def _checked_text(written: str, field: Field) -> str:
    most = field.most or LONGEST[field.kind] if field.kind in LONGEST else _LONGEST
    if len(written) > most:
        raise Refused(f"{len(written)} characters were written; at most {most} fit here.")
    if field.kind == "yes/no":
        return _one_of(written, ("yes", "no"))
    return _one_of(written, field.values) if field.choices else written


def _one_of(written: str, choices: tuple[str, ...]) -> str:
    by_words = {choice.casefold(): choice for choice in choices}
    tidy = " ".join(written.casefold().split())
    if tidy not in by_words:
        raise Refused(f"“{written[:40]}” is none of: {', '.join(choice for choice in choices if choice)}.")
    return by_words[tidy]


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
