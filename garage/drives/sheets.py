"""What the pages of this room show."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from garage.drives.figures import FIGURES, Figure
from garage.drives.forms import part_values
from garage.drives.tables import PART_KINDS, Part
from garage.measures import Measure
from garage.moments import day_text
from garage.units import DisplayUnits


@dataclass(frozen=True)
class PartFact:
    """One figure of a part: a measure, or words where it is a count or a day."""

    label: str
    measure: Measure | None
    text: str
    origin: str


@dataclass(frozen=True)
class PartFacts:
    """All that is known of a part itself, for `drives/_facts.html`."""

    id: int
    code: str
    kind: str
    name: str
    material: str
    bought_on: str
    facts: list[PartFact]
    notes: str
    retired_on: str
    retired_reason: str


@dataclass(frozen=True)
class PartLine:
    """One part in a list."""

    id: int
    code: str
    kind: str
    name: str
    kv: Measure
    mass: Measure
    retired_on: str


@dataclass(frozen=True)
class PartFormSheet:
    """The form of a part; `part_id` is None for a new one. `figures` are those that its kind has."""

    part_id: int | None
    kind: str
    kinds: tuple[str, ...]
    figures: tuple[Figure, ...]
    values: dict[str, str]


@dataclass(frozen=True)
class RetireSheet:
    """Asking why a part goes out of use."""

    part_id: int
    name: str
    values: dict[str, str]


def new_part_sheet(kind: str, code: str) -> PartFormSheet:
    """The form of a new part of `kind`; without a kind the page asks for it first."""
    figures = FIGURES.get(kind, ())
    return PartFormSheet(None, kind, PART_KINDS, figures, {"code": code})


def part_form_sheet(part: Part, units: DisplayUnits) -> PartFormSheet:
    """The form of a part already written down."""
    return PartFormSheet(part.id, part.kind, PART_KINDS, FIGURES[part.kind], part_values(part, units))


def part_line(part: Part) -> PartLine:
    """One part as a line."""
    kv = _measure(part.kv_measured, "kv", "measured")
    if part.kv_measured is None:
        kv = _measure(part.kv_stated, "kv", "stated by the maker")
    mass = Measure(part.mass_g, "mass")
    return PartLine(part.id, part.code, part.kind, part.name, kv, mass, part.retired_on)


def part_facts(part: Part) -> PartFacts:
    """All that is known of a part itself."""
    facts = [_fact(part, figure) for figure in FIGURES[part.kind]]
    known = [fact for fact in facts if fact.text or (fact.measure and fact.measure.value is not None)]
    return PartFacts(
        part.id,
        part.code,
        part.kind,
        part.name,
        part.material,
        part.bought_on,
        _with_difference(part, known),
        part.notes,
        part.retired_on,
        part.retired_reason,
    )


def _fact(part: Part, figure: Figure) -> PartFact:
    value = getattr(part, figure.column)
    if figure.kind == "date":
        return PartFact(figure.label, None, day_text(value), figure.origin)
    if figure.kind == "whole":
        return PartFact(figure.label, None, "" if value is None else str(value), figure.origin)
    return PartFact(figure.label, _measure(value, figure.kind, figure.origin), "", figure.origin)


def _measure(value: float | None, kind: str, origin: str) -> Measure:
    return Measure(value, kind, origin if value is not None else "")


def _with_difference(part: Part, facts: Sequence[PartFact]) -> list[PartFact]:
    """A measured Kv says how far it lies from the label: slip computed from the label is off by as much."""
    if not part.kv_stated or not part.kv_measured:
        return list(facts)
    percent = (part.kv_measured / part.kv_stated - 1) * 100
    words = f"measured, {percent:+.1f} % against the label".replace("-", "\u2212")
    return [
        replace(fact, measure=replace(fact.measure, origin=words))
        if fact.measure is not None and fact.label == "Kv measured"
        else fact
        for fact in facts
    ]
