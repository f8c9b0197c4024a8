"""The cells of the evening table: texts that stand in them, and back to a run."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import time

from garage.moments import Moment
from garage.runs.entry.edit import volts_text
from garage.runs.entry.forms import RATINGS, read_volts, split_codes
from garage.runs.form_data import PackUse, RunDraft, RunFacts, TemperatureDraft
from garage.runs.tables import SPEED_HOWS, WAYS
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader

# A temperature column of the table and the spot it is of.
SPOT_CELLS = {"motor": "motor end bell", "controller": "speed controller", "pack": "pack"}
_CLOCK = re.compile(r"([0-9]{1,2})[:.]([0-9]{2})")


@dataclass(frozen=True)
class NewRow:
    """A run written for the first time in the evening; what is blank is as in the run before of that boat."""

    row: str
    hull_id: int
    pack_codes: tuple[str, ...]
    prop_code: str
    started: Moment | None
    facts: RunFacts
    reading: PackUse
    temperatures: tuple[TemperatureDraft, ...]
    anyway: bool = False


def evening_values(row: str, draft: RunDraft, units: DisplayUnits) -> dict[str, str]:
    """The texts in the row of a run already written; `row` is how its fields begin."""

    def text(value: float | None, kind: str) -> str:
        return entry_text(value, kind, units.unit(kind))

    facts = draft.facts
    values = {
        "clock": draft.started.clock() if draft.started else "",
        "speed": text(facts.speed_kmh, "speed"),
        "how": facts.speed_how,
        "ways": facts.ways,
        "passes": str(facts.passes or ""),
        "duration": text(facts.duration_s, "duration"),
        "note": facts.note,
        "next": facts.try_next,
    } | {name: str(getattr(facts, f"{name}_rating") or "") for name in RATINGS}
    for cell, spot in SPOT_CELLS.items():
        read = first_of(draft.temperatures, spot)
        values[f"t_{cell}"] = (
            text(draft.temperatures[read].temperature_c, "temperature") if read is not None else ""
        )
    for use in draft.packs:
        values[f"p{use.pack_id}_start"] = text(use.start_temperature_c, "temperature")
        values[f"p{use.pack_id}_rested"] = text(use.rested_v, "voltage")
        values[f"p{use.pack_id}_charge"] = text(use.charge_mah, "charge")
        values[f"p{use.pack_id}_volts"] = volts_text(use)
    return {f"{row}_{name}": value for name, value in values.items()}


def first_of(readings: tuple[TemperatureDraft, ...], spot: str) -> int | None:
    """Which reading the column of `spot` shows: the first one of that spot."""
    return next((number for number, one in enumerate(readings) if one.spot == spot), None)


def read_row(reader: Reader, row: str, was: RunDraft, day: Moment) -> RunDraft:
    """The run of a row as it should be now. Does not raise: finish the reader."""
    written_note = was.facts.note if "\n" in was.facts.note else reader.text(f"{row}_note", most=5000)
    facts = replace(_read_facts(reader, row, was.facts), note=written_note)
    return replace(
        was,
        facts=facts,
        started=read_clock(reader, f"{row}_clock", day, was.started) or was.started,
        packs=tuple(_read_pack(reader, f"{row}_p{use.pack_id}", use) for use in was.packs),
        temperatures=_read_temperatures(reader, row, was.temperatures, was.packs),
    )


def read_new_row(reader: Reader, typed: Mapping[str, str], row: str, day: Moment) -> NewRow | None:
    """A row for a run not written yet; None when nothing stands in it."""
    cells = {name: text for name, text in typed.items() if name.startswith(f"{row}_")}
    ready_made = {f"{row}_hull", f"{row}_pack_anyway"}
    if not any(text.strip() for name, text in cells.items() if name not in ready_made):
        return None
    hull = reader.text(f"{row}_hull", most=12)
    if not (hull.isascii() and hull.isdigit()):
        reader.fail(f"{row}_hull", "Which boat?")
    codes = split_codes(reader.text(f"{row}_pack", most=60))
    if not codes:
        reader.fail(f"{row}_pack", "Which pack?")
    packs = (PackUse(0),)
    return NewRow(
        row,
        int(hull) if hull.isascii() and hull.isdigit() else 0,
        codes,
        reader.text(f"{row}_prop", most=60),
        read_clock(reader, f"{row}_clock", day, None),
        replace(_read_facts(reader, row, RunFacts()), note=reader.text(f"{row}_note", most=5000)),
        _read_pack(reader, f"{row}_p0", PackUse(0)),
        _read_temperatures(reader, row, (), packs),
        reader.flag(f"{row}_pack_anyway"),
    )


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


def _read_facts(reader: Reader, row: str, was: RunFacts) -> RunFacts:
    ride, straight, corner, acceleration = (_step(reader, f"{row}_{name}") for name in RATINGS)
    return replace(
        was,
        speed_kmh=reader.quantity(f"{row}_speed", "speed", low=0.1, high=400),
        speed_how=reader.choice(f"{row}_how", SPEED_HOWS),
        ways=reader.choice(f"{row}_ways", WAYS),
        passes=reader.whole(f"{row}_passes", low=1, high=100),
        duration_s=reader.quantity(f"{row}_duration", "duration", low=1, high=14400),
        try_next=reader.text(f"{row}_next", most=300),
        ride_rating=ride,
        straight_rating=straight,
        corner_rating=corner,
        acceleration_rating=acceleration,
    )


def _step(reader: Reader, name: str) -> int | None:
    chosen = reader.choice(name, ("1", "2", "3", "4", "5"))
    return int(chosen) if chosen else None


def _read_pack(reader: Reader, cell: str, was: PackUse) -> PackUse:
    end_v, volts_after = read_volts(reader, f"{cell}_volts")
    return replace(
        was,
        end_v=end_v,
        volts_after=volts_after,
        start_temperature_c=reader.quantity(f"{cell}_start", "temperature", low=-30, high=90),
        rested_v=reader.quantity(f"{cell}_rested", "voltage", low=0.5, high=120),
        charge_mah=reader.quantity(f"{cell}_charge", "charge", low=0, high=100000),
    )


def _read_temperatures(
    reader: Reader, row: str, was: tuple[TemperatureDraft, ...], packs: tuple[PackUse, ...]
) -> tuple[TemperatureDraft, ...]:
    """The readings with what stands in the row's temperature cells; all other readings stay as they are."""
    after = reader.quantity(f"{row}_after", "time_after", low=0, high=86400)
    readings: list[TemperatureDraft | None] = list(was)
    for cell, spot in SPOT_CELLS.items():
        value = reader.quantity(f"{row}_t_{cell}", "temperature", low=-30, high=300)
        at = first_of(was, spot)
        if at is None and value is not None:
            pack = packs[0].pack_id if spot == "pack" and len(packs) == 1 else None
            readings.append(TemperatureDraft(spot, value, after, pack_id=pack or None))
        elif at is not None:
            readings[at] = replace(was[at], temperature_c=value) if value is not None else None
    return tuple(one for one in readings if one is not None)
