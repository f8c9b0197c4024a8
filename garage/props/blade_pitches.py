"""Pitches measured blade by blade at 0.7 of the radius: reading a written list, and how alike the blades
are."""

import re
from dataclasses import dataclass

from garage.units import UnreadableQuantity, parse_quantity

_PARTED = re.compile(r"[;/\n]|,\s+")


@dataclass(frozen=True)
class BladePitches:
    """Mean pitch in mm, and the spread: largest less smallest, in percent of the mean."""

    mean_mm: float
    spread_percent: float


def compare_blades(pitches_mm: list[float]) -> BladePitches:
    """Mean and spread of at least one pitch above zero. ValueError otherwise."""
    if not pitches_mm or min(pitches_mm) <= 0:
        raise ValueError("pitches of the blades must be above zero")
    mean = sum(pitches_mm) / len(pitches_mm)
    return BladePitches(mean, (max(pitches_mm) - min(pitches_mm)) / mean * 100)


def read_pitches(text: str, unit: str) -> list[float]:
    """A list such as `65.8; 66.2` or `65,8 66,2` in mm; bare numbers are in `unit`. Raises
    UnreadableQuantity."""
    parts = [part.strip() for part in _PARTED.split(text) if part.strip()]
    if len(parts) == 1 and not any(sign.isalpha() for sign in parts[0]):
        parts = parts[0].split()
    if len(parts) > 8:
        raise UnreadableQuantity(f"{len(parts)} figures were written; a prop has at most 8 blades.")
    return [parse_quantity(part, "length", unit) for part in parts]
