"""Text to a prop and to its editions, or messages beside the fields."""

import json
from dataclasses import dataclass
from typing import Any

from garage.fields.definition import FormData
from garage.fields.forms import fill, read
from garage.moments import Moment
from garage.props.blade_pitches import compare_blades
from garage.props.fields import EDITION_FIELDS, LEAST_PITCH_MM, MOST_PITCH_MM, all_fields
from garage.props.size import SizeReading, UnclearSize, read_size
from garage.props.tables import REWORKS, Prop, PropEdition
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader
from garage.web.rows import figures_of_each

BLADE_PITCHES = "blade_pitches"
# A typed figure this near to the reading of the printed size is that reading, not a measurement.
_SAME_MM = 0.05
_USUAL_BLADES = 2
_LOWEST_RATIO, _HIGHEST_RATIO = 0.5, 3.0


@dataclass(frozen=True)
class NewProp:
    """A prop with its first edition; `understood` says how the written size was read."""

    prop: FormData
    edition: FormData
    understood: str


@dataclass(frozen=True)
class Rework:
    """What a rework did, and when."""

    edition: FormData
    done: frozenset[str]
    made: Moment | None


@dataclass(frozen=True)
class Mending:
    """An edition's figures as they should have been written, and why."""

    edition: FormData
    why: str


def read_prop(reader: Reader) -> FormData:
    """The facts of a prop, by column. Raises FormErrors."""
    form = read(all_fields(), reader)
    reader.finish()
    return form


def read_new_prop(reader: Reader) -> NewProp:
    """A prop typed in one go: facts, size and first figures. Raises FormErrors."""
    prop = read(all_fields(), reader)
    written = reader.text("size", most=60)
    reading, question = _read(written) if written else (None, "")
    if reading and reading.blades:
        prop["blades"] = _agreed_blades(reader, prop["blades"], reading.blades)
    edition = _figures(reader, prop["blades"], "as bought")
    # Diameter and pitch filled in are the answer to the question.
    if question and (edition["diameter_mm"] is None or edition["pitch_mm"] is None):
        reader.fail("size", question)
    elif not written and edition["diameter_mm"] is None:
        reader.fail("size", "Write the size, or the diameter and pitch below.")
    if reading:
        edition |= _either(edition, "diameter", reading.diameter_mm) | _either(edition, "pitch", reading.pitch_mm)
        prop["lifting"] = prop["lifting"] or reading.lifting
    _refuse_odd_ratio(reader, edition["diameter_mm"], edition["pitch_mm"])
    reader.finish()
    prop["printed_name"] = prop["printed_name"] or written
    return NewProp(prop, edition, f"“{written}” was read as {reading.words}." if reading else "")


def _read(written: str) -> tuple[SizeReading | None, str]:
    """How a written size is understood, or the question it leaves."""
    try:
        return read_size(written), ""
    except UnclearSize as unclear:
        return None, str(unclear)


def _agreed_blades(reader: Reader, typed: int | None, written: int) -> int:
    """The number of blades that the size says; the usual number stands in the form untouched."""
    if typed not in (None, written, _USUAL_BLADES):
        reader.fail("blades", f"The size says {written} blades: which is it?")
    return written


def read_rework(reader: Reader, ticked: list[str], prop: Prop, before: PropEdition) -> Rework:
    """What was done to `prop` after its edition `before`, and what it measures now. Raises FormErrors."""
    done = [name for name in REWORKS[1:] if name in ticked]
    if not done or set(ticked) - set(done):
        reader.fail("reworks", "Tick what was done.")
    edition = _figures(reader, prop.blades, ", ".join(done))
    made = reader.moment("made", required=True)
    earliest_counts = before.number > 1 or prop.bought_on
    if made and made.utc < before.made_at and earliest_counts:
        day = Moment(before.made_at, before.offset_min).day()
        reader.fail("made", f"Edition {before.number} dates from {day}; a rework comes after it.")
    if "cut down" in done:
        _refuse_grown(reader, edition["diameter_mm"], before)
    measured = [edition[column] for column in ("diameter_mm", "pitch_mm", "mass_g")]
    if done == ["measured again"] and measured == [None] * 3:
        reader.fail("diameter", "It was measured again: write at least one figure.")
    _refuse_odd_ratio(
        reader, edition["diameter_mm"] or before.diameter_mm, edition["pitch_mm"] or before.pitch_mm
    )  # fmt: skip
    reader.finish()
    return Rework(edition, frozenset(done), made)


def read_mending(reader: Reader, blades: int, kept: PropEdition) -> Mending:
    """The figures of an edition, put right, with the reason. Raises FormErrors."""
    edition = _figures(reader, blades, kept.reworks)
    if edition["diameter_mm"] == kept.diameter_mm:
        edition["diameter_from"] = kept.diameter_from
    if edition["pitch_mm"] == kept.pitch_mm:
        edition["pitch_from"] = kept.pitch_from
    why = reader.text("why", required=True, most=300)
    if edition["diameter_mm"] is None:
        reader.fail("diameter", "A prop has a diameter.")
    _refuse_odd_ratio(reader, edition["diameter_mm"], edition["pitch_mm"])
    reader.finish()
    return Mending(edition, why)


def edition_values(edition: PropEdition, units: DisplayUnits) -> dict[str, str]:
    """The texts in the form that mends an edition."""
    length = units.unit("length")
    blades = json.loads(edition.pitch_per_blade_mm or "[]")
    pitches = {f"{BLADE_PITCHES}_{n}": entry_text(pitch, "length", length) for n, pitch in enumerate(blades, 1)}
    return fill(EDITION_FIELDS, edition, units) | pitches


def _figures(reader: Reader, blades: int, reworks: str) -> dict[str, Any]:
    """The figures of an edition by column, each with where it came from."""
    form = read(EDITION_FIELDS, reader)
    per_blade = _blade_pitches(reader, blades)
    pitch_from = "measured" if form["pitch_mm"] else ""
    if per_blade and form["pitch_mm"] is None:
        form["pitch_mm"], pitch_from = compare_blades(per_blade).mean_mm, "mean of the blades"
    return form | {
        "reworks": reworks,
        "diameter_from": "measured" if form["diameter_mm"] else "",
        "pitch_from": pitch_from,
        "pitch_per_blade_mm": json.dumps(per_blade) if per_blade else "",
    }


def _blade_pitches(reader: Reader, blades: int) -> list[float]:
    whole = "a prop of one blade" if blades == 1 else f"{blades} blades"
    pitches = figures_of_each(reader, BLADE_PITCHES, "length", blades, "of them" if blades > 1 else "blade", whole)
    odd = [field for field, pitch in pitches if not LEAST_PITCH_MM <= pitch <= MOST_PITCH_MM]
    for field in odd:
        low, high = (reader.shown(edge, "length") for edge in (LEAST_PITCH_MM, MOST_PITCH_MM))
        reader.fail(field, f"Each pitch must be from {low} to {high}.")
    return [] if odd else [pitch for _, pitch in pitches]


def _either(edition: FormData, name: str, printed_mm: float) -> dict[str, Any]:
    """The printed figure where none was typed, or much the same; nothing where it was measured otherwise."""
    typed = edition[f"{name}_mm"]
    if typed is None or abs(typed - printed_mm) < _SAME_MM:
        return {f"{name}_mm": printed_mm, f"{name}_from": "printed size"}
    return {}


def _refuse_grown(reader: Reader, diameter_mm: float | None, before: PropEdition) -> None:
    if diameter_mm is None:
        reader.fail("diameter", "It was cut down: what is its diameter now?")
    elif before.diameter_mm and diameter_mm >= before.diameter_mm:
        was = reader.shown(before.diameter_mm, "length")
        reader.fail("diameter", f"Cut down, but not smaller than the {was} of before?")


def _refuse_odd_ratio(reader: Reader, diameter_mm: float | None, pitch_mm: float | None) -> None:
    if diameter_mm and pitch_mm:
        ratio = pitch_mm / diameter_mm
        if not _LOWEST_RATIO <= ratio <= _HIGHEST_RATIO:
            reader.fail("pitch", f"That would be a pitch ratio of {ratio:.3g}: have figures or units changed places?")
