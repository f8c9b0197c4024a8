"""What the pages of steps show."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Annotated

from garage.calc.section import SECTIONS
from garage.corrections.sheets import Mended
from garage.corrections.tables import Correction
from garage.fields.definition import Field
from garage.fields.forms import fresh
from garage.fields.showing import Fact, FieldValues, facts, values
from garage.hulls.tables import Hull
from garage.measures import Measure
from garage.modifications.fields import STEP_ACTIONS, STEP_FIELDS
from garage.modifications.step_corrections import mended_in_words
from garage.modifications.step_forms import fields_with, known_densities, step_values
from garage.modifications.step_mass import Piece, computed_measure, density_origin, impossible_size
from garage.modifications.tables import Modification, Step
from garage.moments import Moment
from garage.photos.sheets import Attached
from garage.reference import Adhesive, adhesives
from garage.units import DisplayUnits

_DIMENSIONS = tuple(field for field in STEP_FIELDS if field.asked == "size")
_KINDS = {field.column: field.kind for field in STEP_FIELDS}


@dataclass(frozen=True)
class Size:
    """One dimension of a piece: what it is, and how much."""

    word: str
    value: Measure


@dataclass(frozen=True)
class StepLine:
    """One step as it stands on the page of its modification; `listed` is what its own page lists further."""

    id: int
    number: int
    action: str
    what: str
    material: str
    density: Measure
    section: str
    sizes: list[Size]
    count: int
    adds_mass: bool
    weighed: Measure
    computed: Measure
    adhesive: str
    cure: Measure
    cure_temperature: Measure
    hardens_until: Moment | None
    is_hardening: bool
    finish: str
    coats: int | None
    spent: Measure
    note: str
    done: Moment | None
    on_the_boat: bool
    frozen: bool
    mended: list[Mended]
    written: Annotated[FieldValues, STEP_FIELDS]
    listed: list[Fact]


@dataclass(frozen=True)
class StepSheet:
    """One step on a page of its own."""

    hull_id: int
    hull: str
    modification_id: int
    modification: str
    step: StepLine
    adhesive: Adhesive | None
    attached: Attached


@dataclass(frozen=True)
class StepFormSheet:
    """The form of a step; `step_id` is None for a new one, `mending` for one that a run rests on."""

    hull_id: int
    hull: str
    modification_id: int
    modification: str
    step_id: int | None
    mending: bool
    values: dict[str, str]
    fields: tuple[Field, ...]
    materials: list[tuple[str, str]]
    adhesives: list[Adhesive]
    sections: list[tuple[str, str]]
    needs: dict[str, list[str]]
    mass: "MassPreview"
    actions: tuple[str, ...] = STEP_ACTIONS


@dataclass(frozen=True)
class MassPreview:
    """What a piece weighs as far as typed, or why that cannot be said."""

    mass: Measure
    trouble: str
    density: Measure


def step_line(
    step: Step,
    number: int,
    at: Moment,
    *,
    frozen: bool = False,
    mended: Sequence[Mended] = (),
) -> StepLine:
    """One step; `number` counts from 1, `at` is now, and what was `mended` was laid over the step already."""
    done = Moment.here(step.done_at) if step.done_at else None
    hardens_until = _later(done, step.cure_h) if done and step.cure_h else None
    return StepLine(
        id=step.id,
        number=number,
        action=step.action,
        what=step.what,
        material=step.material,
        density=_density(step),
        section=step.section,
        sizes=_sizes(step),
        count=step.count,
        adds_mass=step.adds_mass,
        weighed=Measure(step.mass_weighed_g, "mass", "weighed"),
        computed=computed_measure(step),
        adhesive=step.adhesive,
        cure=Measure(step.cure_h, "hours"),
        cure_temperature=Measure(step.cure_temperature_c, "temperature"),
        hardens_until=hardens_until,
        is_hardening=hardens_until is not None and hardens_until.utc > at.utc,
        finish=step.finish,
        coats=step.coats,
        spent=Measure(step.minutes_spent, "minutes", "written down"),
        note=step.note,
        done=done,
        on_the_boat=step.in_change_id is not None,
        frozen=frozen,
        mended=list(mended),
        written=values(STEP_FIELDS, step),
        listed=facts(STEP_FIELDS, step),
    )


def mended_lines(corrections: Iterable[Correction], units: DisplayUnits) -> list[Mended]:
    """The mistakes mended on a step, in words."""
    return [mended_in_words(row, units) for row in corrections]


def step_form_sheet(
    hull: Hull,
    modification: Modification,
    step: Step | None,
    own: dict[str, float],
    units: DisplayUnits,
    *,
    mending: bool = False,
    begun: Mapping[str, str] = MappingProxyType({}),
) -> StepFormSheet:
    """The form of `step` of a modification of `hull`, or of a new one, in which `begun` stands already."""
    typed = step_values(step, own, units) if step else {**fresh(STEP_FIELDS, units), **begun}
    return StepFormSheet(
        hull_id=hull.id,
        hull=hull.name,
        modification_id=modification.id,
        modification=modification.title,
        step_id=step.id if step else None,
        mending=mending,
        values=typed,
        fields=fields_with(known_densities(own)),
        materials=[(name, name) for name in known_densities(own)],
        adhesives=list(adhesives().values()),
        sections=[(name, shape.title) for name, shape in SECTIONS.items()],
        needs=_needs(),
        mass=mass_preview(step, {}) if step else MassPreview(Measure(None, "mass"), "", Measure(None, "density")),
    )


def mass_preview(piece: Piece, errors: dict[str, str]) -> MassPreview:
    """What `piece` weighs; `errors` are the fields that could not be read."""
    trouble = next(iter(errors.values()), "") or impossible_size(piece)
    return MassPreview(computed_measure(piece), trouble, _density(piece))


def adhesive_named(name: str) -> Adhesive | None:
    """The row of the table for an adhesive written down by its name."""
    return next((row for row in adhesives().values() if row.name == name), None)


def _density(piece: Piece) -> Measure:
    return Measure(piece.density_kg_m3, "density", density_origin(piece.material, piece.density_kg_m3))


def _sizes(step: Step) -> list[Size]:
    """The dimensions that count for the step's section, or all that were written where none was chosen."""
    shape = SECTIONS.get(step.section)
    words = dict(shape.words) if shape else {field.column: field.name for field in _DIMENSIONS}
    words["length_mm"] = "long"
    found = [(word, getattr(step, name), _KINDS[name]) for name, word in words.items()]
    return [Size(word, Measure(value, kind)) for word, value, kind in found if value is not None]


def _needs() -> dict[str, list[str]]:
    """By field: the sections that need it."""
    return {
        field.name: [name for name, shape in SECTIONS.items() if field.column in shape.needs] for field in _DIMENSIONS
    }


def _later(moment: Moment, hours: float) -> Moment:
    then = datetime.fromisoformat(moment.utc.replace("Z", "+00:00")) + timedelta(hours=hours)
    return Moment(Moment.of(then).utc, moment.offset_min)
