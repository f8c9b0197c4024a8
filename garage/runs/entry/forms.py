"""Text to what a person writes of a run, or messages beside the fields."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from garage.fields.definition import Field, FormData, in_row, is_open
from garage.fields.forms import read, read_as
from garage.fields.showing import by_column
from garage.moments import Moment
from garage.runs.fields import (
    AS_LAST,
    AVERAGING_WAY,
    INCIDENT_FIELDS,
    PACK_FIELDS,
    READING_COLUMNS,
    TEMPERATURE_FIELDS,
    WAY,
    run_fields,
)
from garage.runs.form_data import IncidentFormData, TemperatureFormData
from garage.runs.not_known import NOT_KNOWN
from garage.runs.wiring import WIRINGS
from garage.units import UnreadableQuantity, as_typed, parse_quantity
from garage.web.fields import Reader
from garage.web.rows import list_in, texts_in

TEMPERATURE_ROWS = 6
MOST_TEMPERATURES = 24
INCIDENT_ROWS = 2
PACK_ROWS = 4
# Volts of a cell after a run.
LOWEST_END_V, HIGHEST_END_V = 0.5, 4.6
# The choice of the course that is measured out at the water, and its one answer.
COURSE_HERE, HERE = "course_here", "here"
_PACK = by_column(PACK_FIELDS)
_MOST_PACK_V = _PACK["end_v"].high or 0
_SPLIT = re.compile(r"[\s;/|]+")


@dataclass(frozen=True)
class PackPick:
    """Packs as chosen: by ids with their wiring from the list, or by codes written."""

    ids: tuple[int, ...] = ()
    codes: tuple[str, ...] = ()
    wiring: str = ""
    anyway: bool = False
    not_known: bool = False


@dataclass(frozen=True)
class PropPick:
    """The prop at a place as chosen: an edition from the list, or a code written, or that nobody knows it any more."""

    place: str
    edition_id: int | None = None
    code: str = ""
    not_known: bool = False


def read_facts(reader: Reader) -> FormData:
    """What is written of the run itself, by column. Does not raise: finish the reader."""
    facts = read(run_fields(), reader)
    facts["averaging_s"] = _read_averaging(reader, facts["averaging_s"])
    duration, full = facts["duration_s"], facts["full_throttle_s"]
    if duration is not None and full is not None and full > duration:
        reader.fail("full_throttle", "Longer at full throttle than the whole run: have they changed places?")
    return facts


def read_way(reader: Reader, facts: FormData, last: Callable[[], FormData | None]) -> FormData:
    """What the one question of how a speed was read adds to `facts`; `last` finds
    what the boat's next run begins with, and is asked only where it counts.

    Does not raise: whoever answers it and also says otherwise further down gets a message.
    """
    way = read_as(WAY.name, WAY, reader)
    if way == AS_LAST:
        before = last() or {}
        # A course belongs to the water of that day.
        taken = (name for name in READING_COLUMNS if name != "course_m" and name in before and is_open(facts[name]))
        return {**facts, **{name: before[name] for name in taken}}
    if not way:
        return facts
    if facts["speed_how"] not in ("", way):
        reader.fail(WAY.name, f"Further down stands “{facts['speed_how']}”: which of the two was it?")
    return {**facts, "speed_how": way}


def read_course_here(reader: Reader, facts: FormData, course_of: Callable[[], float | None]) -> FormData:
    """`facts` with the course of the water, if that was chosen; `course_of` finds it, and is asked only then.

    Does not raise: whoever chooses it and types another gets a message.
    """
    if not reader.choice(COURSE_HERE, (HERE,)):
        return facts
    course_m = course_of()
    if course_m is None:
        reader.fail(COURSE_HERE, "No course is written for this water: type its length.")
    elif facts["course_m"] not in (None, course_m):
        reader.fail(COURSE_HERE, "Another course is typed beside it: which of the two?")
    return {**facts, "course_m": course_m}


def _read_averaging(reader: Reader, window: float | None) -> float | None:
    """0 for a single reading, seconds for a window, None if not known."""
    way = read_as(AVERAGING_WAY.name, AVERAGING_WAY, reader)
    if way == "window" and window is None:
        reader.fail("averaging", "Over how long was it averaged?")
    if way == "single reading" and window is not None:
        reader.fail("averaging", "A single reading has no window: choose one of the two.")
    return 0.0 if way == "single reading" else window


def read_start(reader: Reader, was: Moment | None = None) -> Moment | None:
    """When the run began, if somebody looked at the clock; of one that is there, when it `was`."""
    return reader.moment("started", was=was)


def read_pack_pick(reader: Reader) -> PackPick:
    """Which packs: from the list, like `3` or `3+4:series`, or by their codes, like `J + K`; or that nobody knows."""
    pressed, listed = reader.text("pack", most=60), reader.text("pack_more", most=60)
    if pressed and listed:
        reader.fail("pack_more", "One is pressed above already: which of the two was it?")
    picked = pressed or listed
    codes = tuple(cell.text for cell in texts_in(reader, "pack_code", split_codes, most=60))
    wiring, anyway = reader.choice("wiring", ("", *WIRINGS)), reader.flag("pack_anyway")
    if codes and not listed and pressed == reader.text("pack_proposed", most=60):
        # The form had pressed it by itself.
        picked = ""
    if picked and codes:
        reader.fail("pack_code", "Either choose from the list or write the code, not both.")
    if picked == NOT_KNOWN:
        return PackPick(not_known=True)
    if not picked:
        return PackPick(codes=codes, wiring=wiring, anyway=anyway)
    ids, usual = split_pick(picked)
    if not ids:
        reader.fail("pack", "Choose one from the list.")
        return PackPick()
    return PackPick(ids=ids, wiring=wiring or usual, anyway=anyway)


def split_pick(text: str) -> tuple[tuple[int, ...], str]:
    """An entry of the list, like `3+4:series`, as the ids of its packs and their wiring; no ids for anything else."""
    found = re.fullmatch(r"([0-9]{1,9}(?:\+[0-9]{1,9})*)(?::([a-z]+))?", text)
    return (tuple(int(number) for number in found[1].split("+")), found[2] or "") if found else ((), "")


def split_codes(text: str) -> tuple[str, ...]:
    """`J + K` or `J, K` as two codes."""
    return tuple(code for part in re.split(r"[+,&]", text) if (code := part.strip()))


def read_prop_picks(reader: Reader, places: tuple[str, ...]) -> list[PropPick]:
    """The prop at each place; places left open are left out."""
    picks = []
    for place in places:
        picked, code = reader.text(f"prop_{place}", most=12), reader.text(f"prop_{place}_code", most=60)
        if picked == NOT_KNOWN and not code:
            picks.append(PropPick(place, not_known=True))
        elif picked and not code and not (picked.isascii() and picked.isdigit()):
            reader.fail(f"prop_{place}", "Choose one from the list.")
        elif code or picked:
            # The last run's prop stands in the list: a code written beside it is the newer word.
            picks.append(PropPick(place, None if code else int(picked), code))
    return picks


def said_not_known(reader: Reader, word: str) -> bool:
    """Whether it was said of one of `MAY_BE_UNKNOWN` that nobody knows it any more."""
    return reader.choice(f"{word}_known", (NOT_KNOWN,)) == NOT_KNOWN


def read_not_known(reader: Reader, props: Iterable[PropPick], *, is_pack: bool) -> frozenset[str]:
    """All that was said to be known by nobody; whether the packs are stands elsewhere in each form."""
    said = {word for word in ("state", "speed", "start") if said_not_known(reader, word)}
    said |= {"pack"} if is_pack else set()
    return frozenset(said | ({"prop"} if any(pick.not_known for pick in props) else set()))


def read_speed_typed(reader: Reader, name: str = "speed") -> str:
    """A speed as it was typed, with its unit, where that is another than it is kept in; '' for any other."""
    written = reader.text(name, most=60)
    if not written or name in reader.errors:
        return ""
    return as_typed(written, "speed", reader.units.unit("speed"))


def read_pack_readings(reader: Reader, row: str) -> FormData:
    """What was read off the pack whose fields begin with `row`, like `pack1`, by column."""
    return read_off(reader, PACK_FIELDS, row)


def read_off(reader: Reader, fields: Iterable[Field], row: str) -> FormData:
    """The pack fields of a row; of its voltages the sum is kept as well."""
    named = in_row(fields, row)
    read_plainly = [field for field in named if field.column != _PACK["volts_after"].column]
    end_v, volts_after = read_volts(reader, f"{row}_{_PACK['volts_after'].name}")
    return read(read_plainly, reader) | {"end_v": end_v, "volts_after": volts_after}


def read_volts(reader: Reader, name: str) -> tuple[float | None, tuple[float, ...]]:
    """Voltages after the run: of the whole pack, and of each cell if they were read one by one.

    Each cell has a field; written together they are separated by spaces, `3.71 3.70 3,72`. A single figure above a
    cell's is the whole pack, `11.1`.
    """
    cells = [cell for cell in list_in(reader, name, _volts_in) if cell.text]
    if len({cell.field == name for cell in cells}) > 1:
        reader.fail(name, "Either the whole pack, or its cells one by one.")
        return None, ()
    volts = []
    for cell in cells:
        try:
            volts.append(parse_quantity(cell.text, "voltage"))
        except UnreadableQuantity as unread:
            reader.fail(cell.field, str(unread))
            return None, ()
    if len(volts) == 1 and HIGHEST_END_V < volts[0] <= _MOST_PACK_V:
        return volts[0], ()
    for cell, _ in filter(lambda pair: not LOWEST_END_V <= pair[1] <= HIGHEST_END_V, zip(cells, volts, strict=True)):
        reader.fail(
            cell.field, "A cell stands between 0.5 V and 4.6 V after a run: one figure for each, or the whole pack."
        )
        return None, ()
    return (round(sum(volts), 4) if volts else None), tuple(volts)


def _volts_in(text: str) -> list[str]:
    parts = _SPLIT.split(text.replace("V", " ").replace("v", " "))
    return [written for part in parts if (written := part.strip(","))]


def read_temperatures(reader: Reader, pack_ids: tuple[int, ...] = ()) -> list[TemperatureFormData]:
    """Readings after the run, row by row; rows without a temperature are left out.

    `pack_ids` says which pack is meant by the first, second ... pack of the run.
    """
    readings = []
    for row in (f"t{number}" for number in range(1, MOST_TEMPERATURES + 1)):
        form = read(in_row(TEMPERATURE_FIELDS, row), reader)
        which = reader.choice(f"{row}_pack", tuple(str(n + 1) for n in range(max(len(pack_ids), PACK_ROWS))))
        if form["temperature_c"] is None:
            if (form["seconds_after"] is not None or form["note"]) and f"{row}_temperature" not in reader.errors:
                reader.fail(f"{row}_temperature", "The temperature of this line is missing.")
            continue
        if not form["spot"]:
            reader.fail(f"{row}_spot", "Where was it read?")
        readings.append(TemperatureFormData(pack_id=_pack_of(form["spot"], which, pack_ids), **form))
    return readings


def temperature_rows(reader: Reader) -> list[str]:
    """The beginnings of the rows in which a temperature stands, in the order of the readings."""
    rows = (f"t{number}" for number in range(1, MOST_TEMPERATURES + 1))
    return [row for row in rows if reader.written(f"{row}_temperature")]


def _pack_of(spot: str, which: str, pack_ids: tuple[int, ...]) -> int | None:
    """The pack a reading belongs to: the one named, or the only one there is."""
    if spot != "pack" or not pack_ids:
        return None
    number = int(which or 1) - 1
    return pack_ids[number] if number < len(pack_ids) and (which or len(pack_ids) == 1) else None


def read_incidents(reader: Reader) -> list[IncidentFormData]:
    """What happened, row by row; rows without a kind are left out."""
    rows = (read_incident(reader, f"i{number}") for number in range(1, INCIDENT_ROWS + 1))
    return [incident for incident in rows if incident.kind]


def read_pin(reader: Reader) -> tuple[int, str]:
    """The number of the build state that a run should stand on, and why. Raises FormErrors."""
    number = reader.whole("state", low=1, high=100000, required=True)
    why = reader.text("pin_why", required=True, most=300)
    reader.finish()
    assert number is not None
    return number, why


def read_incident(reader: Reader, row: str, required: bool = False) -> IncidentFormData:
    """One incident whose fields begin with `row`; its kind is empty when nothing was written."""
    incident = IncidentFormData(**read(in_row(INCIDENT_FIELDS, row), reader))
    if not incident.kind and (required or incident != IncidentFormData("")):
        reader.fail(f"{row}_kind", "What happened? Choose one.")
    return incident
