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
