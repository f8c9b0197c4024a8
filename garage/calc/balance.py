"""Balance: the centre of mass of parts at places, and what a change does to it.

Statics, as in FAA, Weight and Balance Handbook (moment tables): centre = Σ m x / Σ m. Places are in mm from the
transom forward (x), from the keel line to the right (y) and up (z).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class PlacedPart:
    """A part and where its own centre of mass is; y and z may be unknown."""

    name: str
    mass_g: float
    x_mm: float
    y_mm: float | None = None
    z_mm: float | None = None


@dataclass(frozen=True)
class Balance:
    """Mass and centre of mass; a direction in which a part's place is unknown has none."""

    mass_g: float
    lcg_mm: float
    tcg_mm: float | None
    vcg_mm: float | None
    pitch_gyradius_mm: float


def balance(parts: Sequence[PlacedPart]) -> Balance:
    """Centre of mass of `parts`, and the gyradius in pitch of the parts taken as points.

    ValueError when their masses do not add up to more than zero.
    """
    mass_g = math.fsum(part.mass_g for part in parts)
    if not mass_g > 0:
        raise ValueError("The parts must weigh something together.")
    lcg_mm = math.fsum(part.mass_g * part.x_mm for part in parts) / mass_g
    inertia = math.fsum(part.mass_g * (part.x_mm - lcg_mm) ** 2 for part in parts)
    return Balance(
        mass_g,
        lcg_mm,
        _centre([(part.mass_g, part.y_mm) for part in parts], mass_g),
        _centre([(part.mass_g, part.z_mm) for part in parts], mass_g),
        math.sqrt(max(0.0, inertia / mass_g)),
    )


def moved(parts: Sequence[PlacedPart], name: str, x_mm: float) -> list[PlacedPart]:
    """The parts with the one called `name` at another place along the boat. ValueError if there is not just one."""
    _the_one(parts, name)
    return [replace(part, x_mm=x_mm) if part.name == name else part for part in parts]


def swapped(parts: Sequence[PlacedPart], name: str, mass_g: float) -> list[PlacedPart]:
    """The parts with another mass at the place of `name`. ValueError if there is not just one of that name."""
    _the_one(parts, name)
    return [replace(part, mass_g=mass_g) if part.name == name else part for part in parts]


def place_for_lcg_mm(parts: Sequence[PlacedPart], name: str, lcg_mm: float) -> float:
    """Where `name` must sit along the boat for the centre of mass to be at `lcg_mm`.

    ValueError if there is not just one part of that name, or if it weighs nothing.
    """
    part = _the_one(parts, name)
    if not part.mass_g > 0:
        raise ValueError(f"“{name}” weighs nothing, so its place does not matter.")
    whole = balance(parts)
    return part.x_mm + (lcg_mm - whole.lcg_mm) * whole.mass_g / part.mass_g


def two_scales(first_x_mm: float, first_g: float, second_x_mm: float, second_g: float) -> tuple[float, float]:
    """Mass in g and centre of mass in mm from what two scales under the boat read, at two places.

    x1 + F2 / (F1 + F2) × (x2 - x1). ValueError when together they read nothing.
    """
    mass_g = first_g + second_g
    if not mass_g > 0:
        raise ValueError("The two scales must read more than zero together.")
    return mass_g, first_x_mm + second_g / mass_g * (second_x_mm - first_x_mm)


def _centre(placed: list[tuple[float, float | None]], mass_g: float) -> float | None:
    if any(place is None for _, place in placed):
        return None
    return math.fsum(part_g * (place or 0.0) for part_g, place in placed) / mass_g


def _the_one(parts: Sequence[PlacedPart], name: str) -> PlacedPart:
    found = [part for part in parts if part.name == name]
    if len(found) != 1:
        raise ValueError(
            f"There is no part called “{name}”." if not found else f"“{name}” is there {len(found)} times."
        )
    return found[0]
