"""Text to a prop and to its editions, or messages beside the fields."""

import json
from dataclasses import dataclass, replace
from typing import Any

from garage.moments import Moment
from garage.props.blade_pitches import compare_blades, read_pitches
from garage.props.size import UnclearSize, read_size
from garage.props.tables import CONDITIONS, HANDS, LIFTINGS, PROP_MATERIALS, REWORKS, Prop, PropEdition
from garage.units import DisplayUnits, UnreadableQuantity, entry_text
from garage.web.fields import Reader

# A typed figure this near to the reading of the printed size is that reading, not a measurement.
_SAME_MM = 0.05
_LEAST_PITCH_MM, _MOST_PITCH_MM = 5, 600
_LOWEST_RATIO, _HIGHEST_RATIO = 0.5, 3.0


@dataclass(frozen=True)
class PropDraft:
    """What stays the same through every rework of a prop."""

    code: str
    printed_name: str
    blades: int
    material: str
    hand: str
    lifting: str
    bore: str
    bought_on: str
    notes: str


@dataclass(frozen=True)
class EditionDraft:
    """A prop's figures as typed, in storage units; None or '' for what was left open."""

    reworks: str
    diameter_mm: float | None
    diameter_from: str
    pitch_mm: float | None
    pitch_from: str
    pitch_per_blade_mm: str
    mass_g: float | None
    condition: str
    note: str


@dataclass(frozen=True)
class NewProp:
    """A prop with its first edition; `understood` says how the written size was read."""

    prop: PropDraft
    edition: EditionDraft
    understood: str


@dataclass(frozen=True)
class Rework:
    """What a rework did, and when."""

    edition: EditionDraft
    done: frozenset[str]
    made: Moment | None


@dataclass(frozen=True)
class Mending:
    """An edition's figures as they should have been written, and why."""

    edition: EditionDraft
    why: str


def read_prop(reader: Reader) -> PropDraft:
    """The facts of a prop. Raises FormErrors."""
    draft = _prop(reader)
    reader.finish()
    return draft


def read_new_prop(reader: Reader, units: DisplayUnits) -> NewProp:
    """A prop typed in one go: facts, size and first figures. Raises FormErrors."""
    prop = _prop(reader)
    edition = _figures(reader, units, prop.blades, "as bought")
    written = reader.text("size", most=60)
    reading = None
    if written:
        try:
            reading = read_size(written)
        except UnclearSize as unclear:
            # Diameter and pitch filled in are the answer to the question.
            if edition.diameter_mm is None or edition.pitch_mm is None:
                reader.fail("size", str(unclear))
    elif edition.diameter_mm is None:
        reader.fail("size", "Write the size, or the diameter and pitch below.")
    if reading:
        edition = replace(
            edition,
            **_either(edition, "diameter", edition.diameter_mm, reading.diameter_mm),
            **_either(edition, "pitch", edition.pitch_mm, reading.pitch_mm),
        )
        prop = replace(prop, lifting=prop.lifting or reading.lifting)
    _refuse_odd_ratio(reader, edition)
    reader.finish()
    prop = replace(prop, printed_name=prop.printed_name or written)
    return NewProp(prop, edition, f"“{written}” was read as {reading.words}." if reading else "")


def read_rework(
    reader: Reader, units: DisplayUnits, ticked: list[str], prop: Prop, before: PropEdition
) -> Rework:
    """What was done to `prop` after its edition `before`, and what it measures now. Raises FormErrors."""
    done = [name for name in REWORKS[1:] if name in ticked]
    if not done or set(ticked) - set(done):
        reader.fail("reworks", "Tick what was done.")
    edition = _figures(reader, units, prop.blades, ", ".join(done))
    made = reader.moment("made", required=True)
    earliest_counts = before.number > 1 or prop.bought_on
    if made and made.utc < before.made_at and earliest_counts:
        day = Moment(before.made_at, before.offset_min).day()
        reader.fail("made", f"Edition {before.number} dates from {day}; a rework comes after it.")
    if "cut down" in done:
        _refuse_grown(reader, edition, before)
    if done == ["measured again"] and (edition.diameter_mm, edition.pitch_mm, edition.mass_g) == (None,) * 3:
        reader.fail("diameter", "It was measured again: write at least one figure.")
    now = replace(edition, diameter_mm=edition.diameter_mm or before.diameter_mm)
    _refuse_odd_ratio(reader, replace(now, pitch_mm=now.pitch_mm or before.pitch_mm))
    reader.finish()
    return Rework(edition, frozenset(done), made)


def read_mending(reader: Reader, units: DisplayUnits, blades: int, kept: PropEdition) -> Mending:
    """The figures of an edition, put right, with the reason. Raises FormErrors."""
    edition = _figures(reader, units, blades, kept.reworks)
    edition = replace(
        edition,
        diameter_from=_kept_source(
            edition.diameter_mm, kept.diameter_mm, edition.diameter_from, kept.diameter_from
        ),
        pitch_from=_kept_source(edition.pitch_mm, kept.pitch_mm, edition.pitch_from, kept.pitch_from),
    )
    why = reader.text("why", required=True, most=300)
    if edition.diameter_mm is None:
        reader.fail("diameter", "A prop has a diameter.")
    _refuse_odd_ratio(reader, edition)
    reader.finish()
    return Mending(edition, why)


def prop_values(prop: Prop) -> dict[str, str]:
    """The texts in the form of a prop already written down."""
    names = ("code", "printed_name", "material", "hand", "lifting", "bore", "bought_on", "notes")
    return {name: getattr(prop, name) for name in names} | {"blades": str(prop.blades)}


def edition_values(edition: PropEdition, units: DisplayUnits) -> dict[str, str]:
    """The texts in the form that mends an edition."""
    length = units.unit("length")
    blades = json.loads(edition.pitch_per_blade_mm or "[]")
    return {
        "diameter": entry_text(edition.diameter_mm, "length", length),
        "pitch": entry_text(edition.pitch_mm, "length", length),
        "blade_pitches": "; ".join(entry_text(pitch, "length", length) for pitch in blades),
        "mass": entry_text(edition.mass_g, "mass", units.unit("mass")),
        "condition": edition.condition,
        "note": edition.note,
    }


def _prop(reader: Reader) -> PropDraft:
    return PropDraft(
        code=reader.text("code", required=True, most=20),
        printed_name=reader.text("printed_name", most=120),
        blades=reader.whole("blades", low=1, high=8, required=True) or 2,
        material=reader.choice("material", PROP_MATERIALS),
        hand=reader.choice("hand", HANDS, required=True),
        lifting=reader.choice("lifting", LIFTINGS),
        bore=reader.text("bore", most=60),
        bought_on=reader.date("bought_on"),
        notes=reader.long_text("notes"),
    )


def _figures(reader: Reader, units: DisplayUnits, blades: int, reworks: str) -> EditionDraft:
    diameter = reader.quantity("diameter", "length", low=5, high=300)
    pitch = reader.quantity("pitch", "length", low=_LEAST_PITCH_MM, high=_MOST_PITCH_MM)
    per_blade = _blade_pitches(reader, units, blades)
    pitch_from = "measured" if pitch else ""
    if per_blade and pitch is None:
        pitch, pitch_from = compare_blades(per_blade).mean_mm, "mean of the blades"
    return EditionDraft(
        reworks=reworks,
        diameter_mm=diameter,
        diameter_from="measured" if diameter else "",
        pitch_mm=pitch,
        pitch_from=pitch_from,
        pitch_per_blade_mm=json.dumps(per_blade) if per_blade else "",
        mass_g=reader.quantity("mass", "mass", low=0.1, high=2000),
        condition=reader.choice("condition", CONDITIONS, required=True) or "good",
        note=reader.long_text("note"),
    )


def _blade_pitches(reader: Reader, units: DisplayUnits, blades: int) -> list[float]:
    written = reader.text("blade_pitches", most=200)
    try:
        pitches = read_pitches(written, units.unit("length"))
    except UnreadableQuantity as unread:
        reader.fail("blade_pitches", str(unread))
        return []
    if pitches and len(pitches) != blades:
        written_down = "One figure" if len(pitches) == 1 else f"{len(pitches)} figures"
        reader.fail("blade_pitches", f"{written_down} for {blades} blades: one for each, parted by ;")
    elif any(not _LEAST_PITCH_MM <= pitch <= _MOST_PITCH_MM for pitch in pitches):
        low, high = (reader.shown(edge, "length") for edge in (_LEAST_PITCH_MM, _MOST_PITCH_MM))
        reader.fail("blade_pitches", f"Each pitch must be from {low} to {high}.")
    else:
        return pitches
    return []


def _either(edition: EditionDraft, name: str, typed: float | None, read: float) -> dict[str, Any]:
    """The typed figure before the one read from the printed size, each with where it came from."""
    if typed is None or abs(typed - read) < _SAME_MM:
        return {f"{name}_mm": read, f"{name}_from": "printed size"}
    return {f"{name}_mm": typed, f"{name}_from": getattr(edition, f"{name}_from")}


def _kept_source(new: float | None, old: float | None, new_from: str, old_from: str) -> str:
    return old_from if new == old else new_from


def _refuse_grown(reader: Reader, edition: EditionDraft, before: PropEdition) -> None:
    if edition.diameter_mm is None:
        reader.fail("diameter", "It was cut down: what is its diameter now?")
    elif before.diameter_mm and edition.diameter_mm >= before.diameter_mm:
        was = reader.shown(before.diameter_mm, "length")
        reader.fail("diameter", f"Cut down, but not smaller than the {was} of before?")


def _refuse_odd_ratio(reader: Reader, edition: EditionDraft) -> None:
    if edition.diameter_mm and edition.pitch_mm:
        ratio = edition.pitch_mm / edition.diameter_mm
        if not _LOWEST_RATIO <= ratio <= _HIGHEST_RATIO:
            reader.fail(
                "pitch", f"That would be a pitch ratio of {ratio:.3g}: have figures or units changed places?"
            )
