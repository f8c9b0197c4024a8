"""Text to packs, their log, their readings and their sets, or messages beside the fields."""

import re
from dataclasses import dataclass

from garage.moments import Moment
from garage.packs.tables import MOST_BREAK_IN, READING_METHODS, WIRINGS, Pack
from garage.units import DisplayUnits, UnreadableQuantity, entry_text, parse_quantity
from garage.web.fields import Reader

SIGNS_OF_DAMAGE = ("puffed", "dented", "wet", "wrapper torn", "smells sweet", "got hot", "cells far apart")
ENTRY_KINDS = ("bench", "capacity", "charge", "storage", "look")
# A cell of a pack of any size lies within; common practice, no source.
LEAST_MOHM, MOST_MOHM = 0.05, 150.0
# A resting cell lies between flat out and over-full, whatever its chemistry.
LOWEST_CELL_V, HIGHEST_CELL_V = 2.5, 4.5
_PARTED = re.compile(r"[;/\n]|,\s+")


@dataclass(frozen=True)
class PackDraft:
    """A pack as typed, in storage units."""

    code: str
    name: str
    cells_s: int
    cells_p: int
    capacity_mah: float
    capacity_measured_mah: float | None
    stated_c: float | None
    full_v_per_cell: float
    mass_g: float | None
    connector: str
    bought_on: str
    first_charged_on: str
    charges_before: int
    break_in_charges: int
    break_in_c: float | None
    notes: str
    limit_mohm: float | None = None


@dataclass(frozen=True)
class LogDraft:
    """A discharge on the bench, a charge, or a look at the resting volts."""

    kind: str
    at: Moment
    charge_mah: float | None
    current_a: float | None
    temperature_c: float | None
    note: str
    volts: tuple[float, ...] = ()


@dataclass(frozen=True)
class ReadingDraft:
    """Internal resistance cell by cell, with what it means nothing without."""

    cells_mohm: list[float]
    at: Moment
    method: str
    instrument: str
    temperature_c: float | None
    state_of_charge_percent: float | None
    rest_min: float | None
    note: str
    volts: tuple[float, ...] = ()


@dataclass(frozen=True)
class SetDraft:
    """Packs used together, by their codes."""

    name: str
    wiring: str
    codes: list[str]


@dataclass(frozen=True)
class DamageDraft:
    """What is wrong with a pack in words; empty with a reason when nothing is wrong any more."""

    damage: str
    why: str


def read_pack(reader: Reader) -> PackDraft:
    """The pack typed into the form. Raises FormErrors."""
    draft = PackDraft(
        code=reader.text("code", required=True, most=20),
        name=reader.text("name", most=80),
        cells_s=reader.whole("cells_s", low=1, high=14, required=True) or 1,
        cells_p=reader.whole("cells_p", low=1, high=10) or 1,
        capacity_mah=reader.quantity("capacity", "charge", low=50, high=50000, required=True) or 50,
        capacity_measured_mah=reader.quantity("capacity_measured", "charge", low=10, high=50000),
        stated_c=reader.number("stated_c", low=1, high=500),
        full_v_per_cell=reader.quantity("full_v_per_cell", "voltage", low=3.5, high=4.5) or 4.2,
        mass_g=reader.quantity("mass", "mass", low=1, high=20000),
        connector=reader.text("connector", most=80),
        bought_on=reader.date("bought_on"),
        first_charged_on=reader.date("first_charged_on"),
        charges_before=reader.whole("charges_before", low=0, high=5000) or 0,
        break_in_charges=_break_in(reader),
        break_in_c=reader.number("break_in_c", low=0.1, high=100),
        limit_mohm=reader.quantity("limit", "resistance", low=LEAST_MOHM, high=MOST_MOHM),
        notes=reader.long_text("notes"),
    )
    if draft.bought_on and draft.first_charged_on and draft.first_charged_on < draft.bought_on:
        reader.fail("first_charged_on", "The first charge comes before the day it was bought.")
    if draft.capacity_measured_mah and draft.capacity_measured_mah > 1.5 * draft.capacity_mah:
        reader.fail(
            "capacity_measured", "More than half again of what is stated: is a figure or a unit wrong?"
        )
    reader.finish()
    return draft


def pack_values(pack: Pack, units: DisplayUnits) -> dict[str, str]:
    """The texts in the form of a pack already written down."""

    def text(value: float | None, kind: str) -> str:
        return entry_text(value, kind, units.unit(kind))

    return {
        "code": pack.code,
        "name": pack.name,
        "cells_s": str(pack.cells_s),
        "cells_p": str(pack.cells_p),
        "capacity": text(pack.capacity_mah, "charge"),
        "capacity_measured": text(pack.capacity_measured_mah, "charge"),
        "stated_c": _plain(pack.stated_c),
        "full_v_per_cell": text(pack.full_v_per_cell, "voltage"),
        "mass": text(pack.mass_g, "mass"),
        "connector": pack.connector,
        "bought_on": pack.bought_on,
        "first_charged_on": pack.first_charged_on,
        "charges_before": str(pack.charges_before),
        "break_in_charges": str(pack.break_in_charges),
        "break_in_c": _plain(pack.break_in_c),
        "limit": text(pack.limit_mohm, "resistance"),
        "notes": pack.notes,
    }


def read_log_entry(reader: Reader, units: DisplayUnits, cells_s: int, capacity_mah: float) -> LogDraft:
    """An entry for the log of a pack of `cells_s` cells in series. Raises FormErrors."""
    kind = reader.choice("kind", ENTRY_KINDS, required=True)
    at = reader.moment("at", required=True)
    charge = reader.quantity("charge", "charge", low=1, high=100000)
    current = reader.quantity("current", "current", low=0.01, high=1000)
    temperature = reader.quantity("temperature", "temperature", low=-20, high=150)
    volts = read_volts(reader, units, "volts", cells_s, required=kind == "look")
    note = reader.long_text("note", most=1000)
    check_charge(reader, "charge", charge, capacity_mah, required=kind == "capacity")
    reader.finish()
    assert at is not None
    return LogDraft(kind, at, charge, current, temperature, note, volts)


def check_charge(
    reader: Reader, name: str, charge_mah: float | None, capacity_mah: float, *, required: bool
) -> None:
    """Put a message beside `name` for a charge that the pack cannot hold, or that a capacity test needs."""
    if charge_mah is None and required:
        reader.fail(name, "A capacity test is the charge that came out: write it here.")
    if charge_mah is not None and charge_mah > 2 * capacity_mah:
        reader.fail(
            name, f"More than twice what the pack holds ({capacity_mah:.0f} mAh): is a figure or a unit wrong?"
        )


def read_volts(
    reader: Reader, units: DisplayUnits, name: str, cells_s: int, *, required: bool = False
) -> tuple[float, ...]:
    """Resting volts cell by cell, as many as there are cells; none if nothing was written."""
    written = reader.text(name, required=required, most=300)
    volts = _per_cell(reader, units, name, written, "voltage", cells_s)
    for number, cell in enumerate(volts, start=1):
        if not LOWEST_CELL_V <= cell <= HIGHEST_CELL_V:
            reader.fail(
                name,
                f"Cell {number} at {cell:g} V? A resting cell lies between {LOWEST_CELL_V:g} and "
                f"{HIGHEST_CELL_V:g} V.",
            )
    return tuple(volts)


def read_reading(reader: Reader, units: DisplayUnits, cells_s: int) -> ReadingDraft:
    """A resistance reading of a pack of `cells_s` cells in series. Raises FormErrors."""
    cells = _cells(reader, units, cells_s)
    at = reader.moment("at", required=True)
    method = reader.choice("method", READING_METHODS, required=True)
    instrument = reader.text("instrument", most=80)
    temperature = reader.quantity("temperature", "temperature", low=-20, high=90)
    charge_state = reader.quantity("state_of_charge", "percent", low=0, high=100)
    rest = reader.quantity("rest", "minutes", low=0, high=100000)
    volts = read_volts(reader, units, "volts", cells_s)
    note = reader.long_text("note", most=1000)
    reader.finish()
    assert at is not None
    return ReadingDraft(cells, at, method, instrument, temperature, charge_state, rest, note, volts)


def read_set(reader: Reader) -> SetDraft:
    """Packs that are used together. Raises FormErrors."""
    name = reader.text("name", required=True, most=80)
    wiring = reader.choice("wiring", WIRINGS, required=True)
    written = reader.text("codes", required=True, most=200)
    codes = [code for code in re.split(r"[\s,;+&]+", written) if code]
    if written and len({code.lower() for code in codes}) < 2:
        reader.fail("codes", "A set has at least two different packs; write their codes, like F + G.")
    elif len(codes) > 8:
        reader.fail("codes", f"{len(codes)} packs in one set? At most 8 go in.")
    reader.finish()
    return SetDraft(name, wiring, codes)


def read_damage(reader: Reader, ticked: list[str], before: str) -> DamageDraft:
    """What is wrong with a pack; `before` is what was said so far. Raises FormErrors."""
    if set(ticked) - set(SIGNS_OF_DAMAGE):
        reader.fail("signs", "Choose from the list.")
    words = reader.text("words", most=300)
    why = reader.text("why", most=300)
    damage = ": ".join(part for part in (", ".join(s for s in SIGNS_OF_DAMAGE if s in ticked), words) if part)
    if not damage and not before:
        reader.fail("words", "Tick a sign, or say what happened.")
    if not damage and before and not why:
        reader.fail("why", "Say why the note comes off.")
    reader.finish()
    return DamageDraft(damage, why)


def _break_in(reader: Reader) -> int:
    charges = reader.whole("break_in_charges", low=0, high=MOST_BREAK_IN)
    return 4 if charges is None else charges


def _cells(reader: Reader, units: DisplayUnits, cells_s: int) -> list[float]:
    written = reader.text("cells", required=True, most=300)
    cells = _per_cell(reader, units, "cells", written, "resistance", cells_s)
    for number, cell in enumerate(cells, start=1):
        if not LEAST_MOHM <= cell <= MOST_MOHM:
            reader.fail(
                "cells",
                f"Cell {number} at {cell:g} mΩ? A cell lies between {LEAST_MOHM:g} and {MOST_MOHM:g} mΩ; "
                "look at the figure and its unit, and at the instrument’s plugs.",
            )
    return cells


def _per_cell(
    reader: Reader, units: DisplayUnits, name: str, written: str, kind: str, cells_s: int
) -> list[float]:
    parts = [part.strip() for part in _PARTED.split(written) if part.strip()]
    if len(parts) == 1 and not any(sign.isalpha() for sign in parts[0]):
        parts = parts[0].split()
    if written and len(parts) != cells_s:
        reader.fail(
            name, f"{_figures(len(parts))} for a pack of {cells_s}S: one for each cell, parted by ;"
        )
        return []
    try:
        return [parse_quantity(part, kind, units.unit(kind)) for part in parts]
    except UnreadableQuantity as unread:
        reader.fail(name, str(unread))
        return []


def _figures(count: int) -> str:
    return "One figure" if count == 1 else f"{count} figures"


def _plain(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
