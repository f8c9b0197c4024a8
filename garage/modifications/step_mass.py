"""The mass that steps add to a boat: computed from dimensions and density, or weighed, which wins."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from garage.calc.section import SECTIONS, section_area_mm2, strip_mass_g
from garage.measures import Measure
from garage.modifications.fields import STEP_FIELDS
from garage.reference import materials

_DIMENSIONS = tuple(field.column for field in STEP_FIELDS if field.asked == "size")


class Piece(Protocol):
    """What a step says of the piece it is about: lengths in mm, area in mm², density in kg/m³, mass in g."""

    @property
    def action(self) -> str: ...
    @property
    def material(self) -> str: ...
    @property
    def density_kg_m3(self) -> float | None: ...
    @property
    def section(self) -> str: ...
    @property
    def width_mm(self) -> float | None: ...
    @property
    def height_mm(self) -> float | None: ...
    @property
    def wall_mm(self) -> float | None: ...
    @property
    def diameter_mm(self) -> float | None: ...
    @property
    def area_mm2(self) -> float | None: ...
    @property
    def length_mm(self) -> float | None: ...
    @property
    def count(self) -> int: ...
    @property
    def adds_mass(self) -> bool: ...
    @property
    def mass_weighed_g(self) -> float | None: ...


@dataclass(frozen=True)
class MassTotal:
    """What some steps weigh together; `mass_g` is None when nothing of it is known."""

    mass_g: float | None
    origin: str
    caution: str


def missing_of(piece: Piece) -> list[str]:
    """What is still needed to compute the mass of `piece`, in words; nothing for a step about no piece."""
    if not piece.section:
        return []
    shape = SECTIONS[piece.section]
    missing = [shape.words[name] for name in shape.needs if getattr(piece, name) is None]
    if piece.length_mm is None:
        missing.append("length")
    if piece.density_kg_m3 is None:
        missing.append("density of the material")
    return missing


def impossible_size(piece: Piece) -> str:
    """What is wrong with the section's dimensions, in words; '' if they can be, or are not all there yet."""
    shape = SECTIONS.get(piece.section)
    if shape is None or any(getattr(piece, name) is None for name in shape.needs):
        return ""
    try:
        section_area_mm2(piece.section, **{name: getattr(piece, name) for name in _DIMENSIONS})
    except ValueError as error:
        return str(error)
    return ""


def computed_mass_g(piece: Piece) -> float | None:
    """Mass in g of the piece as dimensioned: density × area × length × count; None while any is missing.

    Without glue, finish, holes and bevels.
    """
    if not piece.section or missing_of(piece) or impossible_size(piece):
        return None
    area = section_area_mm2(piece.section, **{name: getattr(piece, name) for name in _DIMENSIONS})
    assert piece.length_mm is not None and piece.density_kg_m3 is not None
    return strip_mass_g(area, piece.length_mm, piece.density_kg_m3, piece.count)


def density_origin(material: str, density_kg_m3: float | None) -> str:
    """Where a step's density came from: the table's source if it is the table's figure, else the person."""
    if density_kg_m3 is None:
        return ""
    for known in materials().values():
        if known.name == material and known.density_kg_m3 == density_kg_m3:
            return f"table: {known.source}"
    return "written down by you"


def computed_measure(piece: Piece) -> Measure:
    """The computed mass of a piece, or what is missing for it."""
    mass_g = computed_mass_g(piece)
    if mass_g is not None:
        return Measure(mass_g, "mass", "computed from dimensions and density, without glue and finish")
    missing = missing_of(piece)
    return Measure(None, "mass", f"cannot be computed yet: {', '.join(missing)} missing" if missing else "")


def best_mass_g(piece: Piece) -> float | None:
    """What the step adds, in g: as weighed if it was, else as computed; None if neither is known."""
    return piece.mass_weighed_g if piece.mass_weighed_g is not None else computed_mass_g(piece)


def total_mass(pieces: Sequence[Piece]) -> MassTotal:
    """What the steps weigh together, in g.

    A step `weigh` with a mass weighs everything before it; later steps add to it. A step that adds no mass of
    its own, because an earlier step named the piece, is left out unless it was weighed.
    """
    total, weighed, computed, unknown, start = 0.0, 0, 0, 0, ""
    for number, piece in enumerate(pieces, 1):
        mass_g = best_mass_g(piece) if piece.adds_mass else piece.mass_weighed_g
        if piece.action == "weigh" and piece.mass_weighed_g is not None:
            total, weighed, computed, unknown = piece.mass_weighed_g, 0, 0, 0
            start = f"weighed in step {number} with all before it"
        elif not piece.adds_mass:
            continue
        elif mass_g is None:
            unknown += bool(piece.section or piece.material)
        else:
            total += mass_g
            weighed += piece.mass_weighed_g is not None
            computed += piece.mass_weighed_g is None
    parts = [f"{weighed} weighed"] * bool(weighed) + [f"{computed} computed"] * bool(computed)
    added = " and ".join(parts)
    origin = f"{start}, plus {added}" if start and added else start or (f"sum of {added}" if added else "")
    caution = f"{unknown} of its pieces not known yet" if unknown else ""
    return MassTotal(total if origin else None, origin, caution)


def same_piece_twice(pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """Numbers, from 1, of steps that count the very same piece: perhaps it was meant to be counted once."""
    seen: dict[tuple, int] = {}
    pairs = []
    for number, piece in enumerate(pieces, 1):
        if not piece.adds_mass or computed_mass_g(piece) is None:
            continue
        sizes = tuple(getattr(piece, name) for name in SECTIONS[piece.section].needs)
        key = (piece.material, piece.density_kg_m3, piece.section, *sizes, piece.length_mm, piece.count)
        if key in seen:
            pairs.append((seen[key], number))
        seen.setdefault(key, number)
    return pairs
