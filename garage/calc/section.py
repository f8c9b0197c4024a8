"""Cross-sections of stock, and the mass of what is cut from it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

# 1 kg/m³ is 1e-6 g/mm³.
_G_MM3_PER_KG_M3 = 1e-6


@dataclass(frozen=True)
class SectionShape:
    """A shape of section: its name for people, and what each dimension it needs is called on it."""

    title: str
    needs: tuple[str, ...]
    words: Mapping[str, str]


def _shape(title: str, **words: str) -> SectionShape:
    return SectionShape(title, tuple(words), MappingProxyType(words))


SECTIONS: Mapping[str, SectionShape] = MappingProxyType(
    {
        "rectangle": _shape("Rectangle", width_mm="width", height_mm="height"),
        "triangle": _shape("Triangle", width_mm="width of the base", height_mm="height above the base"),
        "round": _shape("Round", diameter_mm="diameter"),
        "half-round": _shape("Half-round", diameter_mm="diameter, across the flat side"),
        "tube": _shape("Tube", diameter_mm="outer diameter", wall_mm="wall"),
        "sheet": _shape("Sheet", width_mm="width", height_mm="thickness"),
        "angle": _shape("Angle", width_mm="one leg, outside", height_mm="other leg, outside", wall_mm="wall"),
        "custom": _shape("Custom area", area_mm2="area of the section"),
    }
)


def section_area_mm2(
    section: str,
    width_mm: float | None = None,
    height_mm: float | None = None,
    wall_mm: float | None = None,
    diameter_mm: float | None = None,
    area_mm2: float | None = None,
) -> float:
    """Area of a cross-section in mm², from dimensions in mm (plane geometry).

    - `rectangle`: width × height; `sheet`: width × thickness, which is given as `height_mm`
    - `triangle`: half of base width × height above that base, whatever the angles
    - `round`: π d² / 4; `half-round`: half of it, `diameter_mm` across the flat
    - `tube`: π w (d - w) with the outer diameter d and the wall w, at most d / 2 (then it is solid)
    - `angle`: w (a + b - w) with outer legs a = `width_mm`, b = `height_mm`, wall w at most the shorter leg
    - `custom`: `area_mm2` as it is

    A dimension that the section does not need is not looked at. ValueError, in words for a page, when a
    needed one is missing, not above zero, or impossible.
    """
    shape = SECTIONS.get(section)
    if shape is None:
        raise ValueError(f"There is no section called “{section}”.")
    given = {
        "width_mm": width_mm,
        "height_mm": height_mm,
        "wall_mm": wall_mm,
        "diameter_mm": diameter_mm,
        "area_mm2": area_mm2,
    }
    needed = [_positive(given[name], f"{shape.title}: the {shape.words[name]}") for name in shape.needs]
    match section:
        case "rectangle" | "sheet":
            return needed[0] * needed[1]
        case "triangle":
            return needed[0] * needed[1] / 2
        case "round":
            return math.pi * needed[0] ** 2 / 4
        case "half-round":
            return math.pi * needed[0] ** 2 / 8
        case "tube":
            return _tube_area_mm2(*needed)
        case "angle":
            return _angle_area_mm2(*needed)
    return needed[0]


def strip_volume_mm3(area_mm2: float, length_mm: float, count: int = 1) -> float:
    """Volume in mm³ of `count` straight pieces of one section; ValueError unless all are above zero."""
    volume_mm3 = _positive(area_mm2, "The area") * _positive(length_mm, "The length")
    return volume_mm3 * _positive(count, "The count")


def strip_mass_g(area_mm2: float, length_mm: float, density_kg_m3: float, count: int = 1) -> float:
    """Mass in g of `count` straight pieces of one section: density × area × length.

    Without glue, finish, saw cuts or bevels. ValueError unless all are above zero.
    """
    volume_mm3 = strip_volume_mm3(area_mm2, length_mm, count)
    return volume_mm3 * _positive(density_kg_m3, "The density") * _G_MM3_PER_KG_M3


def wood_density_kg_m3(specific_gravity: float, moisture_percent: float = 12.0) -> float:
    """Density of wood in kg/m³ as it lies in the workshop: 1000 G (1 + M / 100).

    Published specific gravity G is oven-dry mass over the volume at moisture M, so a wood of 0.40 at 12 %
    weighs 448 kg/m³ and not 400. Valid for G of 0.05 to 1.4 and M of 0 to 30 % (where cell walls are full);
    ValueError outside. Source: USDA Forest Products Laboratory, Wood Handbook, chapter 4 (from memory).
    """
    if not 0.05 <= specific_gravity <= 1.4:
        raise ValueError("The specific gravity of wood lies between 0.05 and 1.4.")
    if not 0 <= moisture_percent <= 30:
        raise ValueError("The moisture of wood must lie between 0 and 30 %.")
    return 1000 * specific_gravity * (1 + moisture_percent / 100)


def laminate_density_kg_m3(fibre_share: float, fibre_density_kg_m3: float, resin_density_kg_m3: float) -> float:
    """Density in kg/m³ of a laminate without voids, from the fibres' share of the volume, 0 to 1.

    Rule of mixtures. Hand lay-up on a model hull reaches 0.25 to 0.4. ValueError outside 0 to 1.
    """
    if not 0 <= fibre_share <= 1:
        raise ValueError("The share of fibre must lie between 0 and 1.")
    fibre = fibre_share * _positive(fibre_density_kg_m3, "The density of the fibre")
    return fibre + (1 - fibre_share) * _positive(resin_density_kg_m3, "The density of the resin")


def _tube_area_mm2(diameter_mm: float, wall_mm: float) -> float:
    if wall_mm > diameter_mm / 2:
        raise ValueError("Tube: the wall cannot be more than half of the diameter.")
    return math.pi * wall_mm * (diameter_mm - wall_mm)


def _angle_area_mm2(one_leg_mm: float, other_leg_mm: float, wall_mm: float) -> float:
    if wall_mm > min(one_leg_mm, other_leg_mm):
        raise ValueError("Angle: the wall cannot be more than the shorter leg.")
    return wall_mm * (one_leg_mm + other_leg_mm - wall_mm)


def _positive(value: float | None, name: str) -> float:
    if value is None:
        raise ValueError(f"{name} is missing.")
    if not (value > 0 and math.isfinite(value)):
        raise ValueError(f"{name} must be more than zero.")
    return value
