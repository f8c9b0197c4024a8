"""Text to packs, their log, their readings and their sets, or messages beside the fields."""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.packs.fields import LEAST_MOHM, LOG_FIELDS, MOST_MOHM, READING_FIELDS, SET_FIELDS, all_fields
from garage.web.fields import Reader
from garage.web.rows import figures_of_each, texts_in

SIGNS_OF_DAMAGE = ("puffed", "dented", "wet", "wrapper torn", "smells sweet", "got hot", "cells far apart")
# A resting cell lies between flat out and over-full, whatever its chemistry.
LOWEST_CELL_V, HIGHEST_CELL_V = 2.5, 4.5


@dataclass(frozen=True)
class NewSet:
    """Packs used together, by their codes."""

    set: FormData
    codes: list[str]


@dataclass(frozen=True)
class DamageFormData:
    """What is wrong with a pack in words; empty with a reason when nothing is wrong any more."""

    damage: str
    why: str


def read_pack(reader: Reader) -> FormData:
    """The pack typed into the form, by column. Raises FormErrors."""
    form = read(all_fields(), reader)
    _refuse_charge_before_purchase(reader, form["bought_on"], form["first_charged_on"])
    _refuse_far_too_much(reader, form["capacity_mah"], form["capacity_measured_mah"])
    reader.finish()
    return form


def _refuse_charge_before_purchase(reader: Reader, bought_on: str, first_charged_on: str) -> None:
    if bought_on and first_charged_on and first_charged_on < bought_on:
        reader.fail("first_charged_on", "The first charge comes before the day it was bought.")


def _refuse_far_too_much(reader: Reader, stated_mah: float | None, measured_mah: float | None) -> None:
    if stated_mah and measured_mah and measured_mah > 1.5 * stated_mah:
        reader.fail("capacity_measured", "More than half again of what is stated: is a figure or a unit wrong?")


def read_log_entry(reader: Reader, cells_s: int, capacity_mah: float) -> FormData:
    """An entry for the log of a pack of `cells_s` cells in series, by column. Raises FormErrors."""
    form = read(LOG_FIELDS, reader)
    volts = read_volts(reader, "volts", cells_s, required=form["kind"] == "look")
    if form["kind"] == "look":
        refuse_charge(reader, form)
    check_charge(reader, "charge", form["charge_mah"], capacity_mah, required=form["kind"] == "capacity")
    reader.finish()
    return form | {"volts": kept_volts(volts)}


def check_charge(reader: Reader, name: str, charge_mah: float | None, capacity_mah: float, *, required: bool) -> None:
    """Put a message beside `name` for a charge that the pack cannot hold, or that a capacity test needs."""
    if charge_mah is None and required:
        reader.fail(name, "A capacity test is the charge that came out: write it here.")
    if charge_mah is not None and charge_mah > 2 * capacity_mah:
        reader.fail(name, f"More than twice what the pack holds ({capacity_mah:.0f} mAh): is a figure or a unit wrong?")


def refuse_charge(reader: Reader, form: FormData) -> None:
    """Charge and current are out of sight while volts are only looked at: what was typed there before is neither kept
    nor dropped unsaid."""
    for name, column in (("charge", "charge_mah"), ("current", "current_a")):
        if form[column] is not None:
            reader.fail(name, "Looking at the volts moves no charge: take it out, or choose what was done above.")


def read_volts(reader: Reader, name: str, cells_s: int, *, required: bool = False) -> tuple[float, ...]:
    """Resting volts cell by cell, as many as there are cells; none if nothing was written."""
    volts = _per_cell(reader, name, "voltage", cells_s, required=required)
    for number, (field, cell) in enumerate(volts, start=1):
        if not LOWEST_CELL_V <= cell <= HIGHEST_CELL_V:
            reader.fail(
                field,
                f"Cell {number} at {cell:g} V? A resting cell lies between {LOWEST_CELL_V:g} and {HIGHEST_CELL_V:g} V.",
            )
    return tuple(cell for _, cell in volts)


def kept_volts(volts: Sequence[float]) -> str:
    """Volts cell by cell as they are kept: a JSON list, '' for none."""
    return json.dumps(list(volts)) if volts else ""


def read_reading(reader: Reader, cells_s: int) -> FormData:
    """A resistance reading of a pack of `cells_s` cells in series, by column. Raises FormErrors."""
    cells = _cells(reader, cells_s)
    form = read(READING_FIELDS, reader)
    volts = read_volts(reader, "volts", cells_s)
    reader.finish()
    return form | {"cells_mohm": json.dumps(cells), "volts": kept_volts(volts)}


def read_set(reader: Reader) -> NewSet:
    """Packs that are used together. Raises FormErrors."""
    form = read(SET_FIELDS, reader)
    codes = [cell.text for cell in texts_in(reader, "codes", _codes_in)]
    if not codes:
        reader.fail("codes", "This is needed.")
    elif len({code.lower() for code in codes}) < 2:
        reader.fail("codes", "A set has at least two different packs; write their codes.")
    elif len(codes) > 8:
        reader.fail("codes", f"{len(codes)} packs in one set? At most 8 go in.")
    reader.finish()
    return NewSet(form, codes)


def read_damage(reader: Reader, ticked: list[str], before: str) -> DamageFormData:
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
    return DamageFormData(damage, why)


def _codes_in(text: str) -> list[str]:
    """`F + G` as two codes: what was written into one field."""
    return [code for code in re.split(r"[\s,;+&]+", text) if code]


def _cells(reader: Reader, cells_s: int) -> list[float]:
    cells = _per_cell(reader, "cells", "resistance", cells_s, required=True)
    for number, (field, cell) in enumerate(cells, start=1):
        if not LEAST_MOHM <= cell <= MOST_MOHM:
            reader.fail(
                field,
                f"Cell {number} at {cell:g} mΩ? A cell lies between {LEAST_MOHM:g} and {MOST_MOHM:g} mΩ; "
                "look at the figure and its unit, and at the instrument’s plugs.",
            )
    return [cell for _, cell in cells]


def _per_cell(reader: Reader, name: str, kind: str, cells_s: int, *, required: bool) -> list[tuple[str, float]]:
    return figures_of_each(reader, name, kind, cells_s, "cell", f"a pack of {cells_s}S", required=required)
