"""How far a strip bends: strain at its outermost fibre, and the tightest radius by two published rules.

Euler-Bernoulli bending: the strain is the distance of the outermost fibre from the centroid by the radius.
"""

import math

# MOR / MOE at 12 % moisture, USDA Wood Handbook, tables 5-3a and 5-5a: strain at which wood fails, linear.
WOOD_FAILURE_STRAINS = {
    "spruce": 70e6 / 10.8e9,
    "basswood": 60e6 / 10.1e9,
    "white_pine": 59e6 / 8.5e9,
    "balsa": 21.6e6 / 3.4e9,
}
# Rule of thumb for dry, unsteamed solid wood: a radius of 20 to 30 thicknesses (a workshop handbook, an excerpt).
THUMB_RADIUS_BY_THICKNESS = 20.0


def outermost_fibre_mm(section: str, width_mm: float, height_mm: float, wall_mm: float = 0.0) -> float:
    """Distance in mm from the centroid to the outermost fibre, bent over the height of the section.

    `height_mm` is the diameter of a round or a tube, half the width of a half-round. ValueError for a section
    of which it is not known.
    """
    match section:
        case "rectangle" | "round" | "tube":
            return height_mm / 2
        case "triangle":
            return 2 * height_mm / 3
        case "half-round":
            return height_mm - 4 * height_mm / (3 * math.pi)
        case "angle":
            flat, upright = width_mm * wall_mm, (height_mm - wall_mm) * wall_mm
            centroid = (flat * wall_mm / 2 + upright * (height_mm + wall_mm) / 2) / (flat + upright)
            return max(centroid, height_mm - centroid)
    raise ValueError(f"How a section called “{section}” bends is not known.")


def bending_strain(outermost_fibre_mm: float, radius_mm: float) -> float:
    """Strain as a fraction at a radius to the middle of the strip in mm; t / (2 R) for a rectangle."""
    return outermost_fibre_mm / radius_mm


def radius_for_strain_mm(outermost_fibre_mm: float, strain: float) -> float:
    """Radius in mm at which the outermost fibre is strained so."""
    return outermost_fibre_mm / strain


def smallest_radii_mm(outermost_fibre_mm: float, wood: str = "") -> tuple[float, float]:
    """The tightest cold bend of dry solid wood in mm, by two published rules that differ by a factor of 3 to 4.

    Low: 20 times the thickness, the rule of thumb. High: the strain at which `wood` fails by MOR / MOE; the
    weakest of the known woods when it is none of them.
    """
    failure = WOOD_FAILURE_STRAINS.get(wood, min(WOOD_FAILURE_STRAINS.values()))
    thickness_mm = 2 * outermost_fibre_mm
    return THUMB_RADIUS_BY_THICKNESS * thickness_mm, radius_for_strain_mm(outermost_fibre_mm, failure)
