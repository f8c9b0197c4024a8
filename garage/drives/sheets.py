"""What the pages of this room show."""

from dataclasses import asdict, dataclass, replace
from typing import Annotated, Any

from garage.drives.fields import FIELDS, RETIREMENT_FIELDS, fields_of_kind, figures_of_kind
from garage.drives.figures import PART_KINDS
from garage.drives.tables import Part
from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import OWN, SOME, Fact, FieldValues, facts, values
from garage.measures import Measure
from garage.units import DisplayUnits


@dataclass(frozen=True)
class PartFacts:
    """All that is known of a part itself, for `drives/_facts.html`; `facts` are what the page lists."""

    id: int
    fields: Annotated[FieldValues, FIELDS, SOME, OWN]
    facts: list[Fact]
    retired_on: str
    retired_reason: str
    end: Annotated[FieldValues, RETIREMENT_FIELDS]


@dataclass(frozen=True)
class PartFormSheet:
    """The form of a part; `part_id` is None for a new one. `figures` tells programs of those that its kind has."""

    part_id: int | None
    kind: str
    kinds: tuple[str, ...]
    figures: tuple[dict[str, Any], ...]
    values: dict[str, str]
    fields: tuple[Field, ...]


def new_part_sheet(kind: str, code: str, units: DisplayUnits) -> PartFormSheet:
    """The form of a new part of `kind`; without a kind the page asks for it first."""
    fields = fields_of_kind(kind)
    return PartFormSheet(None, kind, PART_KINDS, _figures(kind), {"code": code} | fresh(fields, units), fields)


def part_form_sheet(part: Part, units: DisplayUnits) -> PartFormSheet:
    """The form of a part already written down."""
    fields = fields_of_kind(part.kind)
    return PartFormSheet(part.id, part.kind, PART_KINDS, _figures(part.kind), fill(fields, part, units), fields)


def known_kv(part: Part) -> Measure:
    """The Kv of a motor: as measured, else as stated."""
    if part.kv_measured is None:
        return Measure(part.kv_stated, "kv", "stated by the maker" if part.kv_stated is not None else "")
    return Measure(part.kv_measured, "kv", "measured")


def part_facts(part: Part) -> PartFacts:
    """All that is known of a part itself."""
    fields = fields_of_kind(part.kind)
    listed = [_with_difference(part, fact) for fact in facts(fields, part)]
    return PartFacts(
        part.id, values(fields, part), listed, part.retired_on, part.retired_reason, values(RETIREMENT_FIELDS, part)
    )


def _figures(kind: str) -> tuple[dict[str, Any], ...]:
    return tuple({"field": field.name} | asdict(field) for field in figures_of_kind(kind)) if kind else ()


def _with_difference(part: Part, fact: Fact) -> Fact:
    """A measured Kv says how far it lies from the label: slip computed from the label is off by as much."""
    if fact.label != "Kv measured" or fact.measure is None or not part.kv_stated or not part.kv_measured:
        return fact
    percent = (part.kv_measured / part.kv_stated - 1) * 100
    words = f"measured, {percent:+.1f} % against the label".replace("-", "\u2212")
    return replace(fact, measure=replace(fact.measure, origin=words))
