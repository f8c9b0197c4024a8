"""The cells of the evening table: texts that stand in them, and back to a run."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import time
from types import SimpleNamespace

from garage.fields.definition import Field, FormData, in_row
from garage.fields.forms import fill, read, read_as
from garage.moments import Moment
from garage.runs.entry.edit import cell_values, pack_values, speed_text
from garage.runs.entry.forms import read_off, read_speed_typed, split_codes
from garage.runs.fields import AFTER, PACK_FIELDS, READING, run_fields
from garage.runs.form_data import PackUse, RunFormData, TemperatureFormData, run_facts
from garage.runs.not_known import NOT_KNOWN
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader
from garage.web.rows import texts_in

# A temperature column of the table and the spot it is of.
SPOT_CELLS = {"motor": "motor end bell", "controller": "speed controller", "pack": "pack"}
_CLOCK = re.compile(r"([0-9]{1,2})[:.]([0-9]{2})")
# What may be said to be not known in the cell of a row itself.
_ANSWERS = {"speed": "speed", "start": "clock"}
# What a cell is called where it is not the name of its field.
_NAMES = {"speed_how": "how", "try_next": "next", "start_temperature_c": "start"}


def _cells(fields: Iterable[Field]) -> tuple[Field, ...]:
    """The fields that the table asks for, by the names of their cells; a long text is one line there."""
    return tuple(_cell(field) for field in fields if any(section.startswith("evening") for section in field.sections))


def _cell(field: Field) -> Field:
    line = replace(field, kind="text", most=field.most or 5000) if field.kind == "long text" else field
    name = field.name.removesuffix("_rating") if field.kind == "rating" else field.name
    return replace(line, name=_NAMES.get(field.column, name))


PACK_CELLS = _cells(PACK_FIELDS)


def cells() -> tuple[Field, ...]:
    """What the table asks of each run itself."""
    return _cells(run_fields())


def put_away_cells() -> tuple[Field, ...]:
    """Own fields put away: a table that was opened before still sends them."""
    return tuple(_cell(field) for field in run_fields() if field.is_put_away)


def _sent_cells() -> tuple[Field, ...]:
    return (*cells(), *put_away_cells())


@dataclass(frozen=True)
class NewRow:
    """A run written for the first time in the evening; what is blank is as in the run before of that boat."""

    row: str
    hull_id: int
    pack_codes: tuple[str, ...]
    prop_code: str
    started: Moment | None
    facts: FormData
    reading: PackUse
    temperatures: tuple[TemperatureFormData, ...]
    anyway: bool = False
    not_known: frozenset[str] = frozenset()
    speed_typed: str = ""


def evening_values(row: str, form: RunFormData, units: DisplayUnits) -> dict[str, str]:
    """The texts in the row of a run already written; `row` is how its fields begin."""
    values = fill(in_row(cells(), row), SimpleNamespace(**form.facts), units)
    values[f"{row}_speed"] = NOT_KNOWN if "speed" in form.not_known else speed_text(form, units)
    values[f"{row}_clock"] = form.started.clock() if form.started else NOT_KNOWN if "start" in form.not_known else ""
    for cell, spot in SPOT_CELLS.items():
        read = first_of(form.temperatures, spot)
        told = form.temperatures[read].temperature_c if read is not None else None
        values[f"{row}_t_{cell}"] = entry_text(told, READING.kind, units.unit(READING.kind))
    for use in form.packs:
        at = f"{row}_p{use.pack_id}"
        values |= pack_values(use, at, units, PACK_CELLS) | cell_values(use, at)
    return values


def long_texts(facts: FormData) -> dict[str, str]:
    """Texts of several lines, by the cells that they do not fit into: they are shown, and stay as they are."""
    return {cell.name: facts[cell.column] for cell in cells() if "\n" in str(facts[cell.column])}


def first_of(readings: tuple[TemperatureFormData, ...], spot: str) -> int | None:
    """Which reading the column of `spot` shows: the first one of that spot."""
    return next((number for number, one in enumerate(readings) if one.spot == spot), None)


def read_row(reader: Reader, row: str, was: RunFormData, day: Moment) -> RunFormData:
    """The run of a row as it should be now. Does not raise: finish the reader."""
    stays = long_texts(was.facts)
    said = {word for word, cell in _ANSWERS.items() if says_not_known(reader, f"{row}_{cell}")}
    sent = [
        cell
        for cell in _sent_cells()
        if cell.name not in stays
        and not (cell.name == "speed" and "speed" in said)
        and not _is_left_out(cell, row, reader)
    ]
    facts = {**was.facts, **read(in_row(sent, row), reader)}
    if "speed" in said:
        facts["speed_kmh"] = None
    return replace(
        was,
        facts=facts,
        speed_typed="" if "speed" in said else read_speed_typed(reader, f"{row}_speed"),
        not_known=frozenset(was.not_known - {*_ANSWERS} | said),
        started=None if "start" in said else read_clock(reader, f"{row}_clock", day, was.started) or was.started,
        packs=tuple(_read_pack(reader, f"{row}_p{use.pack_id}", use) for use in was.packs),
        temperatures=_read_temperatures(reader, row, was.temperatures, was.packs),
    )


def _is_left_out(cell: Field, row: str, reader: Reader) -> bool:
    """Whether the speed counts is asked only in the rows where that is a question."""
    return "evening counts" in cell.sections and not reader.holds(f"{row}_{cell.name}")


def read_new_row(reader: Reader, typed: Mapping[str, str], row: str, day: Moment) -> NewRow | None:
    """A row for a run not written yet; None when nothing stands in it."""
    written = {name: text for name, text in typed.items() if name.startswith(f"{row}_")}
    ready_made = {f"{row}_hull", f"{row}_hull_anyway", f"{row}_pack_anyway"}
    if not any(text.strip() for name, text in written.items() if name not in ready_made):
        return None
    hull = reader.text(f"{row}_hull", most=12)
    if not (hull.isascii() and hull.isdigit()):
        reader.fail(f"{row}_hull", "Which boat?")
    codes = tuple(cell.text for cell in texts_in(reader, f"{row}_pack", split_codes, most=60))
    said = {word for word, cell in _ANSWERS.items() if says_not_known(reader, f"{row}_{cell}")}
    said |= {"pack"} if codes == (NOT_KNOWN,) else set()
    said |= {"prop"} if says_not_known(reader, f"{row}_prop") else set()
    if not codes:
        reader.fail(f"{row}_pack", "Which pack?")
    packs = (PackUse(0),)
    asked = [cell for cell in _sent_cells() if not (cell.name == "speed" and "speed" in said)]
    return NewRow(
        row,
        int(hull) if hull.isascii() and hull.isdigit() else 0,
        () if "pack" in said else codes,
        "" if "prop" in said else reader.text(f"{row}_prop", most=60),
        None if "start" in said else read_clock(reader, f"{row}_clock", day, None),
        {**run_facts(), **read(in_row(asked, row), reader)},
        _read_pack(reader, f"{row}_p0", PackUse(0)),
        _read_temperatures(reader, row, (), packs),
        reader.flag(f"{row}_pack_anyway"),
        frozenset(said),
        "" if "speed" in said else read_speed_typed(reader, f"{row}_speed"),
    )


def says_not_known(reader: Reader, cell: str) -> bool:
    """Whether a cell of one line says that nobody knows what belongs there."""
    return reader.text(cell, most=60).casefold() == NOT_KNOWN


def read_clock(reader: Reader, name: str, day: Moment, was: Moment | None) -> Moment | None:
    """A time of the outing's day, `14:05`; seconds of a time that stands there already are kept."""
    written = reader.text(name, most=12)
    if not written:
        return None
    if was is not None and written == was.clock():
        return was
    found = _CLOCK.fullmatch(written)
    try:
        if not found:
            raise ValueError
        clock = time(int(found[1]), int(found[2]))
    except ValueError:
        reader.fail(name, "A time like 14:05.")
        return None
    return Moment.of(day.local().replace(hour=clock.hour, minute=clock.minute, second=0))


def _read_pack(reader: Reader, cell: str, was: PackUse) -> PackUse:
    return replace(was, **read_off(reader, PACK_CELLS, cell))


def _read_temperatures(
    reader: Reader, row: str, was: tuple[TemperatureFormData, ...], packs: tuple[PackUse, ...]
) -> tuple[TemperatureFormData, ...]:
    """The readings with what stands in the row's temperature cells; all other readings stay as they are."""
    after = read_as(f"{row}_after", AFTER, reader)
    readings: list[TemperatureFormData | None] = list(was)
    for cell, spot in SPOT_CELLS.items():
        value = read_as(f"{row}_t_{cell}", READING, reader)
        at = first_of(was, spot)
        if at is None and value is not None:
            pack = packs[0].pack_id if spot == "pack" and len(packs) == 1 else None
            readings.append(TemperatureFormData(spot, value, after, pack_id=pack or None))
        elif at is not None:
            readings[at] = replace(was[at], temperature_c=value) if value is not None else None
    return tuple(one for one in readings if one is not None)
