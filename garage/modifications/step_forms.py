"""Text to a step, or messages beside the fields."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from garage.fields.definition import Field, FormData
from garage.fields.forms import fill, fresh, read
from garage.modifications.fields import DENSITY, MATERIAL, PIECE, QUICK_STEP_FIELDS, STEP_FIELDS
from garage.modifications.step_mass import Piece, impossible_size
from garage.modifications.tables import Step
from garage.reference import materials
from garage.units import DisplayUnits
from garage.web.fields import Reader

_LONGEST_BEGUN = 100


@dataclass(frozen=True)
class Mend:
    """A step as it should read, and why it did not."""

    step: FormData
    why: str


def begun_values(query: Mapping[str, str]) -> dict[str, str]:
    """Texts for a new step's fields out of an address, where another page worked a piece out; they are read and
    judged when the step is saved."""
    names = (field.name for field in STEP_FIELDS)
    return {name: query[name][:_LONGEST_BEGUN] for name in names if query.get(name)}


def known_densities(own: Mapping[str, float]) -> dict[str, float]:
    """Density in kg/m³ by name of material: the table, then the person's own."""
    return {known.name: known.density_kg_m3 for known in materials().values()} | dict(own)


def fields_with(known: Mapping[str, float]) -> tuple[Field, ...]:
    """The fields of a step's form when these materials, with their density, can be chosen."""
    offered = replace(MATERIAL, kind="choice", choices=tuple(known))
    return tuple(offered if field is MATERIAL else field for field in STEP_FIELDS)


def read_quick_step(reader: Reader) -> FormData:
    """A step in one line, by column. Raises FormErrors."""
    form = read(QUICK_STEP_FIELDS, reader)
    reader.finish()
    return form


def read_step(reader: Reader, own: Mapping[str, float]) -> FormData:
    """The step typed into the form, by column; `own` are the person's materials with kg/m³. Raises FormErrors."""
    known = known_densities(own)
    form = _read(fields_with(known), reader, known)
    if form["action"] == "other" and not form["what"]:
        reader.fail("what", "Say in a word what was done.")
    if form["action"] == "weigh" and form["mass_weighed_g"] is None and not form["what"]:
        reader.fail("mass_weighed", "What did it weigh?")
    reader.finish()
    return form


def read_unfinished_piece(reader: Reader, own: Mapping[str, float]) -> tuple[Piece, dict[str, str]]:
    """What can be read of a step's piece while it is still being typed, and what cannot be by field."""
    known = known_densities(own)
    form = _read((field for field in fields_with(known) if field.asked in PIECE), reader, known)
    return Step(**form), reader.errors


def read_mend(reader: Reader, own: Mapping[str, float]) -> Mend:
    """A frozen step as it should read. Raises FormErrors."""
    why = reader.text("why", required=True, most=300)
    return Mend(read_step(reader, own), why)


def new_step_values(begun: Mapping[str, str], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a new step, in which `begun` stands already."""
    return _one_open({**fresh(STEP_FIELDS, units), **begun})


def _one_open(texts: dict[str, str]) -> dict[str, str]:
    """A count of one is left open: a piece of which nothing is said stays out of sight."""
    return texts | {"count": ""} if texts["count"] == "1" else texts


def step_values(step: Step, own: Mapping[str, float], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a step already written down."""
    known = known_densities(own)
    texts = _one_open(fill(STEP_FIELDS, step, units))
    if step.density_kg_m3 == known.get(step.material):
        texts[DENSITY.name] = ""
    is_known = step.material in known
    return texts | {"material": step.material if is_known else "", "other_material": "" if is_known else step.material}


def _read(fields: Iterable[Field], reader: Reader, known: Mapping[str, float]) -> dict[str, Any]:
    form = read(fields, reader)
    form |= _material(reader, known, form[MATERIAL.column], form[DENSITY.column])
    piece = Step(**form)
    wrong = impossible_size(piece)
    if wrong:
        reader.fail("wall" if piece.section in ("tube", "angle") else "section", wrong)
    return form


def _material(reader: Reader, known: Mapping[str, float], chosen: str, typed: float | None) -> dict[str, Any]:
    """Name and density in kg/m³; a density that was typed goes before the known one."""
    other = reader.text("other_material", most=MATERIAL.most)
    if chosen and other:
        reader.fail("other_material", f"Either {chosen} from the list or another one: leave one of them empty.")
    same = next((name for name in known if other and name.casefold() == other.casefold()), "")
    name = chosen or same or other
    return {MATERIAL.column: name, DENSITY.column: typed if typed is not None else known.get(name)}
