"""Text to a step, or messages beside the fields."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

from garage.calc.section import SECTIONS
from garage.modifications.step_mass import impossible_size
from garage.modifications.tables import STEP_ACTIONS, Step
from garage.moments import Moment
from garage.reference import materials
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader

# Column, field, kind of unit, least and most: what a quantity of a step is called on the form.
QUANTITIES = (
    ("width_mm", "width", "length", None, 2000),
    ("height_mm", "height", "length", None, 2000),
    ("wall_mm", "wall", "length", None, 200),
    ("diameter_mm", "diameter", "length", None, 2000),
    ("area_mm2", "area", "area", None, 1000000),
    ("length_mm", "length", "length", None, 10000),
    ("cure_h", "cure", "hours", 0, 10000),
    ("cure_temperature_c", "cure_temperature", "temperature", -20, 150),
    ("minutes_spent", "minutes", "minutes", 0, 100000),
    ("mass_weighed_g", "mass_weighed", "mass", -50000, 50000),
)
_LEAST_DENSITY, _MOST_DENSITY = 1, 25000
# Fields of a new step that another page, which worked a piece out, may fill in before the person does.
_BEGUN = ("what", "material", "density", "section", "width", "height", "wall", "diameter", "length", "count", "coats")
_LONGEST_BEGUN = 100


def begun_values(query: Mapping[str, str]) -> dict[str, str]:
    """Texts for a new step's fields out of an address; they are read and judged when the step is saved."""
    return {name: query[name][:_LONGEST_BEGUN] for name in _BEGUN if query.get(name)}


@dataclass(frozen=True)
class StepDraft:
    """A step as typed, in storage units; `done_at` in UTC, None while it is not done."""

    action: str
    what: str
    material: str
    density_kg_m3: float | None
    section: str
    width_mm: float | None
    height_mm: float | None
    wall_mm: float | None
    diameter_mm: float | None
    area_mm2: float | None
    length_mm: float | None
    count: int
    adds_mass: bool
    adhesive: str
    cure_h: float | None
    cure_temperature_c: float | None
    finish: str
    coats: int | None
    minutes_spent: float | None
    mass_weighed_g: float | None
    note: str
    done_at: str | None = None


@dataclass(frozen=True)
class QuickStep:
    """A step in one line, for fingers with glue on them."""

    action: str
    what: str


@dataclass(frozen=True)
class MendDraft:
    """A step as it should read, and why it did not."""

    step: StepDraft
    why: str


STEP_FIELDS = tuple(field.name for field in fields(StepDraft))


def known_densities(own: Mapping[str, float]) -> dict[str, float]:
    """Density in kg/m³ by name of material: the table, then the person's own."""
    return {known.name: known.density_kg_m3 for known in materials().values()} | dict(own)


def read_quick_step(reader: Reader) -> QuickStep:
    """A step in one line. Raises FormErrors."""
    draft = QuickStep(
        action=reader.choice("action", STEP_ACTIONS, required=True),
        what=reader.text("what", required=True, most=300),
    )
    reader.finish()
    return draft


def read_step(reader: Reader, own: Mapping[str, float]) -> StepDraft:
    """The step typed into the form; `own` are the person's materials with kg/m³. Raises FormErrors."""
    draft = _read(reader, own)
    if not draft.action:
        reader.fail("action", "Choose one.")
    if draft.action == "other" and not draft.what:
        reader.fail("what", "Say in a word what was done.")
    if draft.action == "weigh" and draft.mass_weighed_g is None and not draft.what:
        reader.fail("mass_weighed", "What did it weigh?")
    reader.finish()
    return draft


def read_unfinished_step(reader: Reader, own: Mapping[str, float]) -> tuple[StepDraft, dict[str, str]]:
    """What can be read of a step while it is still being typed, and what cannot be by field."""
    return _read(reader, own), reader.errors


def read_mend(reader: Reader, own: Mapping[str, float]) -> MendDraft:
    """A frozen step as it should read. Raises FormErrors."""
    why = reader.text("why", required=True, most=300)
    return MendDraft(read_step(reader, own), why)


def step_values(step: Step, own: Mapping[str, float], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a step already written down."""
    known = known_densities(own)
    is_known = step.material in known
    typed_density = step.density_kg_m3 if step.density_kg_m3 != known.get(step.material) else None
    values = {
        "action": step.action,
        "what": step.what,
        "material": step.material if is_known else "",
        "other_material": "" if is_known else step.material,
        "density": entry_text(typed_density, "density", units.unit("density")),
        "section": step.section,
        "count": str(step.count),
        "adds_mass": "yes" if step.adds_mass else "",
        "adhesive": step.adhesive,
        "finish": step.finish,
        "coats": "" if step.coats is None else str(step.coats),
        "note": step.note,
        "done": Moment.here(step.done_at).local_text() if step.done_at else "",
    }
    return values | {
        field: entry_text(getattr(step, column), kind, units.unit(kind))
        for column, field, kind, *_ in QUANTITIES
    }


def _read(reader: Reader, own: Mapping[str, float]) -> StepDraft:
    material, density_kg_m3 = _read_material(reader, known_densities(own))
    done = reader.moment("done")
    draft = StepDraft(
        action=reader.choice("action", STEP_ACTIONS),
        what=reader.text("what", most=300),
        material=material,
        density_kg_m3=density_kg_m3,
        section=reader.choice("section", SECTIONS),
        count=reader.whole("count", low=1, high=1000) or 1,
        adds_mass=reader.flag("adds_mass"),
        adhesive=reader.text("adhesive", most=120),
        finish=reader.text("finish", most=120),
        coats=reader.whole("coats", low=0, high=100),
        note=reader.long_text("note"),
        done_at=done.utc if done else None,
        **{
            column: reader.quantity(field, kind, low=low, high=high, above=0 if low is None else None)
            for column, field, kind, low, high in QUANTITIES
        },
    )
    wrong = impossible_size(draft)
    if wrong:
        reader.fail("wall" if draft.section in ("tube", "angle") else "section", wrong)
    return draft


def _read_material(reader: Reader, known: Mapping[str, float]) -> tuple[str, float | None]:
    """Name and density in kg/m³; a density that was typed goes before the known one."""
    chosen = reader.choice("material", known)
    other = reader.text("other_material", most=120)
    typed = reader.quantity("density", "density", low=_LEAST_DENSITY, high=_MOST_DENSITY)
    if chosen and other:
        reader.fail(
            "other_material", f"Either {chosen} from the list or another one: leave one of them empty."
        )
    same = next((name for name in known if other and name.casefold() == other.casefold()), "")
    name = chosen or same or other
    return name, typed if typed is not None else known.get(name)
