"""What the pages of this room show of a prop."""

import json
from dataclasses import dataclass
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import OWN, Fact, FieldValues, facts, values
from garage.measures import Measure
from garage.moments import Moment
from garage.props.blade_pitches import compare_blades
from garage.props.fields import (
    CONDITIONS,
    EDITION_FIELDS,
    FIELDS,
    HANDS,
    LIFTINGS,
    PROP_MATERIALS,
    RETIREMENT_FIELDS,
    all_fields,
)
from garage.props.forms import edition_values
from garage.props.size import SizeReading
from garage.props.tables import REWORKS, Prop, PropEdition
from garage.reference import Caution, cautions
from garage.units import DisplayUnits

_HOW = {
    "": "not said how",
    "printed size": "from its printed size",
    "measured": "measured",
    "mean of the blades": "mean of the blades, measured at 0.7 radius",
    "carried over": "as before the rework",
}


@dataclass(frozen=True)
class EditionView:
    """One edition with where each figure came from; `ratio` is pitch over diameter."""

    number: int
    reworks: str
    diameter: Measure
    pitch: Measure
    ratio: str
    blade_pitches: list[Measure]
    spread: Measure
    mass: Measure
    condition: str
    note: str
    made: Moment
    mended: list[str]
    fields: Annotated[FieldValues, EDITION_FIELDS]
    listed: list[Fact]


@dataclass(frozen=True)
class PropFacts:
    """What stays the same through every rework; `listed` is what its page lists."""

    id: int
    fields: Annotated[FieldValues, FIELDS, OWN]
    listed: list[Fact]
    retired_on: str
    retired_reason: str
    end: Annotated[FieldValues, RETIREMENT_FIELDS]


@dataclass(frozen=True)
class ReadingSheet:
    """How a written size is understood in `words`, or the question it raises; both '' while none is
    written."""

    words: str = ""
    question: str = ""
    diameter: Measure = Measure(None, "length")
    pitch: Measure = Measure(None, "length")
    ratio: str = ""


@dataclass(frozen=True)
class PropFormSheet:
    """The form of a prop; `prop_id` is None for a new one, which is asked for its size as well."""

    prop_id: int | None
    code: str
    values: dict[str, str]
    reading: ReadingSheet
    fields: tuple[Field, ...]
    materials: tuple[str, ...] = PROP_MATERIALS
    hands: tuple[str, ...] = HANDS
    liftings: tuple[str, ...] = LIFTINGS
    conditions: tuple[str, ...] = CONDITIONS


@dataclass(frozen=True)
class ReworkSheet:
    """The form of a rework, or of the mending of an edition."""

    prop_id: int
    code: str
    blades: int
    now: EditionView
    values: dict[str, str]
    cautions: list[Caution]
    reworks: tuple[str, ...] = REWORKS[1:]
    conditions: tuple[str, ...] = CONDITIONS
    fields: tuple[Field, ...] = EDITION_FIELDS


def edition_view(edition: PropEdition, mended: list[str] | None = None) -> EditionView:
    """One edition as pages show it."""
    pitches = json.loads(edition.pitch_per_blade_mm or "[]")
    spread = compare_blades(pitches).spread_percent if len(pitches) > 1 else None
    return EditionView(
        number=edition.number,
        reworks=edition.reworks,
        diameter=Measure(edition.diameter_mm, "length", _HOW[edition.diameter_from]),
        pitch=Measure(edition.pitch_mm, "length", _HOW[edition.pitch_from], _pitch_caution(edition)),
        ratio=ratio_text(edition),
        blade_pitches=[Measure(pitch, "length", "measured at 0.7 radius") for pitch in pitches],
        spread=Measure(spread, "percent", "largest less smallest, of the mean"),
        mass=Measure(edition.mass_g, "mass", "weighed"),
        condition=edition.condition,
        note=edition.note,
        made=Moment(edition.made_at, edition.offset_min),
        mended=mended or [],
        fields=values(EDITION_FIELDS, edition),
        listed=facts(EDITION_FIELDS, edition),
    )


def prop_facts(prop: Prop) -> PropFacts:
    """A prop's lasting facts."""
    fields = all_fields()
    return PropFacts(
        prop.id,
        values(fields, prop),
        facts(fields, prop),
        prop.retired_on,
        prop.retired_reason,
        values(RETIREMENT_FIELDS, prop),
    )


def ratio_text(edition: PropEdition) -> str:
    """Pitch over diameter with two decimals, or ''."""
    if not edition.pitch_mm or not edition.diameter_mm:
        return ""
    return f"{edition.pitch_mm / edition.diameter_mm:.2f}"


def reading_sheet(reading: SizeReading) -> ReadingSheet:
    """A reading with its figures."""
    how = "from its printed size"
    return ReadingSheet(
        reading.words,
        "",
        Measure(reading.diameter_mm, "length", how),
        Measure(reading.pitch_mm, "length", how),
        f"{reading.ratio:.2f}",
    )


def new_prop_sheet(code: str, asked: dict[str, str], reading: ReadingSheet, units: DisplayUnits) -> PropFormSheet:
    """The form of a new prop; `asked` holds what was typed so far, when its size was asked about."""
    fields = all_fields() + EDITION_FIELDS
    return PropFormSheet(None, code, {"code": code} | fresh(fields, units) | asked, reading, fields)


def prop_form_sheet(prop: Prop, units: DisplayUnits) -> PropFormSheet:
    """The form of the facts of `prop`."""
    fields = all_fields()
    return PropFormSheet(prop.id, prop.code, fill(fields, prop, units), ReadingSheet(), fields)


def rework_sheet(prop: Prop, before: PropEdition, now: Moment) -> ReworkSheet:
    """The form of the next rework."""
    values = {"made": now.local_text(), "condition": before.condition}
    return ReworkSheet(prop.id, prop.code, prop.blades, edition_view(before), values, workshop_cautions(prop))


def mending_sheet(prop: Prop, edition: PropEdition, units: DisplayUnits) -> ReworkSheet:
    """The form that mends an edition."""
    return ReworkSheet(prop.id, prop.code, prop.blades, edition_view(edition), edition_values(edition, units), [])


def workshop_cautions(prop: Prop) -> list[Caution]:
    """What to mind when this prop is worked on: blades cut; the dust of copper beryllium is poisonous."""
    known = cautions()
    may_be_beryllium = prop.material in ("beryllium copper", "", "other")
    return [known["beryllium_dust"]] * may_be_beryllium + [known["spinning_prop"]]


def _pitch_caution(edition: PropEdition) -> str:
    if edition.pitch_from == "carried over" and "cupped" in edition.reworks:
        return "before the cup, which acts like more pitch"
    return ""
