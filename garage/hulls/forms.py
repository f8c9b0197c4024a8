"""Text to a hull, or messages beside the fields."""

from dataclasses import dataclass

from garage.hulls.tables import CHECKLISTS, HULL_KINDS, Hull
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader


@dataclass(frozen=True)
class HullDraft:
    """A hull as typed, in storage units."""

    name: str
    kind: str
    length_mm: float | None
    beam_mm: float | None
    deadrise_deg: float | None
    bare_mass_g: float | None
    material: str
    own_design: bool
    screws: int
    fixed_tube: bool
    built_on: str
    notes: str


@dataclass(frozen=True)
class ChecklistDraft:
    """A line for one of a hull's lists."""

    checklist: str
    text: str


def read_hull(reader: Reader) -> HullDraft:
    """The hull typed into the form. Raises FormErrors."""
    draft = HullDraft(
        name=reader.text("name", required=True, most=80),
        kind=reader.choice("kind", HULL_KINDS, required=True),
        length_mm=reader.quantity("length", "length", low=50, high=5000),
        beam_mm=reader.quantity("beam", "length", low=10, high=2000),
        deadrise_deg=reader.quantity("deadrise", "angle", low=0, high=60),
        bare_mass_g=reader.quantity("bare_mass", "mass", low=1, high=50000),
        material=reader.text("material", most=120),
        own_design=reader.flag("own_design"),
        screws=int(reader.choice("screws", ("1", "2")) or 1),
        fixed_tube=reader.flag("fixed_tube"),
        built_on=reader.date("built_on"),
        notes=reader.long_text("notes"),
    )
    if draft.length_mm and draft.beam_mm and draft.beam_mm > draft.length_mm:
        reader.fail("beam", "The beam is larger than the length: have they changed places?")
    reader.finish()
    return draft


def hull_values(hull: Hull, units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a hull already written down."""
    return {
        "name": hull.name,
        "kind": hull.kind,
        "length": entry_text(hull.length_mm, "length", units.unit("length")),
        "beam": entry_text(hull.beam_mm, "length", units.unit("length")),
        "deadrise": entry_text(hull.deadrise_deg, "angle", units.unit("angle")),
        "bare_mass": entry_text(hull.bare_mass_g, "mass", units.unit("mass")),
        "material": hull.material,
        "own_design": "yes" if hull.own_design else "",
        "screws": str(hull.screws),
        "fixed_tube": "yes" if hull.fixed_tube else "",
        "built_on": hull.built_on,
        "notes": hull.notes,
    }


def read_checklist_line(reader: Reader) -> ChecklistDraft:
    """A line for a list. Raises FormErrors."""
    draft = ChecklistDraft(
        checklist=reader.choice("checklist", CHECKLISTS, required=True),
        text=reader.text("text", required=True, most=200),
    )
    reader.finish()
    return draft
