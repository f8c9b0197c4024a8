"""Text to what a person writes of a run, or messages beside the fields."""

import re
from dataclasses import dataclass

from garage.moments import Moment
from garage.runs.form_data import IncidentDraft, RunFacts, TemperatureDraft
from garage.runs.tables import CAUSES, INCIDENTS, OUTLETS, RUN_KINDS, RUN_PLACES, SPEED_HOWS, TEMPERATURE_SPOTS, WAYS
from garage.runs.wiring import WIRINGS
from garage.units import UnreadableQuantity, parse_quantity
from garage.waters.fields import SUNS
from garage.web.fields import Reader

AVERAGINGS = ("", "single reading", "window")
RATINGS = ("ride", "straight", "corner", "acceleration")
TEMPERATURE_ROWS = 6
MOST_TEMPERATURES = 24
INCIDENT_ROWS = 2
PACK_ROWS = 4
# Volts of a cell after a run, and of the highest pack that is understood.
LOWEST_END_V, HIGHEST_END_V, MOST_PACK_V = 0.5, 4.6, 120.0
_SPLIT = re.compile(r"[\s;/|]+")


@dataclass(frozen=True)
class PackPick:
    """Packs as chosen: by ids with their wiring from the list, or by codes written."""

    ids: tuple[int, ...] = ()
    codes: tuple[str, ...] = ()
    wiring: str = ""
    anyway: bool = False


@dataclass(frozen=True)
class PropPick:
    """The prop at a place as chosen: an edition from the list, or a code written."""

    place: str
    edition_id: int | None = None
    code: str = ""


@dataclass(frozen=True)
class PackReadings:
    """What was read off one of the packs of a run."""

    start_temperature_c: float | None = None
    rested_v: float | None = None
    charge_mah: float | None = None
    end_v: float | None = None
    volts_after: tuple[float, ...] = ()


def read_facts(reader: Reader) -> RunFacts:
    """What is written of the run itself. Does not raise: finish the reader."""
    facts = RunFacts(
        kind=reader.choice("kind", RUN_KINDS) or "speed",
        speed_kmh=reader.quantity("speed", "speed", low=0.1, high=400),
        speed_how=reader.choice("speed_how", SPEED_HOWS),
        averaging_s=read_averaging(reader),
        ways=reader.choice("ways", WAYS),
        passes=reader.whole("passes", low=1, high=100),
        course_m=reader.quantity("course", "distance", low=1, high=5000),
        duration_s=reader.quantity("duration", "duration", low=1, high=14400),
        full_throttle_s=reader.quantity("full_throttle", "duration", low=0, high=14400),
        **{f"{name}_rating": _rating(reader, f"{name}_rating") for name in RATINGS},
        throttle_eased=reader.text("throttle_eased", most=200),
        rudder_trim=reader.text("rudder_trim", most=120),
        outlet=reader.choice("outlet", OUTLETS),
        water_inside_ml=reader.quantity("water_inside", "volume", low=0, high=100000),
        depth_m=reader.quantity("depth", "distance", low=0, high=500),
        sun=reader.choice("sun", SUNS),
        note=reader.long_text("note"),
        try_next=reader.text("try_next", most=300),
    )
    if (
        facts.duration_s is not None
        and facts.full_throttle_s is not None
        and facts.full_throttle_s > facts.duration_s
    ):
        reader.fail("full_throttle", "Longer at full throttle than the whole run: have they changed places?")
    return facts


def read_averaging(reader: Reader) -> float | None:
    """0 for a single reading, seconds for a window, None if not known."""
    way = reader.choice("averaging_way", AVERAGINGS)
    window = reader.quantity("averaging", "duration", above=0, high=60)
    if way == "window" and window is None:
        reader.fail("averaging", "Over how long was it averaged?")
    if way == "single reading" and window is not None:
        reader.fail("averaging", "A single reading has no window: choose one of the two.")
    return 0.0 if way == "single reading" else window


def _rating(reader: Reader, name: str) -> int | None:
    chosen = reader.choice(name, ("1", "2", "3", "4", "5"))
    return int(chosen) if chosen else None


def read_start(reader: Reader) -> Moment | None:
    """When the run began, if somebody looked at the clock."""
    return reader.moment("started")


def read_pack_pick(reader: Reader) -> PackPick:
    """Which packs: from the list, like `3` or `3+4:series`, or by their codes, like `J + K`."""
    picked, codes = reader.text("pack", most=60), split_codes(reader.text("pack_code", most=60))
    wiring, anyway = reader.choice("wiring", ("", *WIRINGS)), reader.flag("pack_anyway")
    if picked and codes:
        reader.fail("pack_code", "Either choose from the list or write the code, not both.")
    if not picked:
        return PackPick(codes=codes, wiring=wiring, anyway=anyway)
    found = re.fullmatch(r"([0-9]{1,9}(?:\+[0-9]{1,9})*)(?::([a-z]+))?", picked)
    if not found:
        reader.fail("pack", "Choose one from the list.")
        return PackPick()
    ids = tuple(int(number) for number in found[1].split("+"))
    return PackPick(ids=ids, wiring=wiring or (found[2] or ""), anyway=anyway)


def split_codes(text: str) -> tuple[str, ...]:
    """`J + K` or `J, K` as two codes."""
    return tuple(code for part in re.split(r"[+,&]", text) if (code := part.strip()))


def read_prop_picks(reader: Reader, places: tuple[str, ...]) -> list[PropPick]:
    """The prop at each place; places left open are left out."""
    picks = []
    for place in places:
        picked, code = reader.text(f"prop_{place}", most=12), reader.text(f"prop_{place}_code", most=60)
        if picked and not (picked.isascii() and picked.isdigit()):
            reader.fail(f"prop_{place}", "Choose one from the list.")
        elif code or picked:
            # The last run's prop stands in the list: a code written beside it is the newer word.
            picks.append(PropPick(place, None if code else int(picked), code))
    return picks


def read_pack_readings(reader: Reader, row: str) -> PackReadings:
    """What was read off the pack whose fields begin with `row`, like `pack1`."""
    end_v, volts_after = read_volts(reader, f"{row}_volts")
    return PackReadings(
        start_temperature_c=reader.quantity(f"{row}_temperature", "temperature", low=-30, high=90),
        rested_v=reader.quantity(f"{row}_rested", "voltage", low=0.5, high=120),
        charge_mah=reader.quantity(f"{row}_charge", "charge", low=0, high=100000),
        end_v=end_v,
        volts_after=volts_after,
    )


def read_volts(reader: Reader, name: str) -> tuple[float | None, tuple[float, ...]]:
    """Voltages after the run: of the whole pack, and of each cell if they were read one by one.

    Cells are parted by spaces, `3.71 3.70 3,72`; a single figure above a cell's is the whole pack, `11.1`.
    """
    text = reader.text(name, most=200)
    volts = []
    for part in _SPLIT.split(text.replace("V", " ").replace("v", " ").strip()):
        written = part.strip(",")
        if not written:
            continue
        try:
            volts.append(parse_quantity(written, "voltage"))
        except UnreadableQuantity as unread:
            reader.fail(name, str(unread))
            return None, ()
    if len(volts) == 1 and HIGHEST_END_V < volts[0] <= MOST_PACK_V:
        return volts[0], ()
    if any(not LOWEST_END_V <= volt <= HIGHEST_END_V for volt in volts):
        reader.fail(
            name, "A cell stands between 0.5 V and 4.6 V after a run: one figure for each, or the whole pack."
        )
        return None, ()
    return (round(sum(volts), 4) if volts else None), tuple(volts)


def read_temperatures(reader: Reader, pack_ids: tuple[int, ...] = ()) -> list[TemperatureDraft]:
    """Readings after the run, row by row; rows without a temperature are left out.

    `pack_ids` says which pack is meant by the first, second ... pack of the run.
    """
    readings = []
    for row in (f"t{number}" for number in range(1, MOST_TEMPERATURES + 1)):
        spot = reader.choice(f"{row}_spot", TEMPERATURE_SPOTS)
        reading = reader.quantity(f"{row}_temperature", "temperature", low=-30, high=300)
        seconds = reader.quantity(f"{row}_after", "time_after", low=0, high=86400)
        place = reader.choice(f"{row}_place", RUN_PLACES) or "single"
        which = reader.choice(f"{row}_pack", tuple(str(n + 1) for n in range(max(len(pack_ids), PACK_ROWS))))
        note = reader.text(f"{row}_note", most=200)
        if reading is None:
            if (seconds is not None or note) and f"{row}_temperature" not in reader.errors:
                reader.fail(f"{row}_temperature", "The temperature of this line is missing.")
            continue
        if not spot:
            reader.fail(f"{row}_spot", "Where was it read?")
        pack = _pack_of(spot, which, pack_ids)
        readings.append(TemperatureDraft(spot, reading, seconds, place, pack, note))
    return readings


def _pack_of(spot: str, which: str, pack_ids: tuple[int, ...]) -> int | None:
    """The pack a reading belongs to: the one named, or the only one there is."""
    if spot != "pack" or not pack_ids:
        return None
    number = int(which or 1) - 1
    return pack_ids[number] if number < len(pack_ids) and (which or len(pack_ids) == 1) else None


def read_incidents(reader: Reader) -> list[IncidentDraft]:
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


def read_incident(reader: Reader, row: str, required: bool = False) -> IncidentDraft:
    """One incident whose fields begin with `row`; its kind is empty when nothing was written."""
    kind = reader.choice(f"{row}_kind", INCIDENTS)
    incident = IncidentDraft(
        kind,
        reader.choice(f"{row}_cause", CAUSES),
        reader.text(f"{row}_recovered", most=200),
        reader.flag(f"{row}_damaged"),
        reader.flag(f"{row}_spoiled"),
        reader.text(f"{row}_note", most=500),
    )
    if not kind and (required or incident != IncidentDraft("")):
        reader.fail(f"{row}_kind", "What happened? Choose one.")
    return incident
