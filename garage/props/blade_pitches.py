"""Pitches measured blade by blade at 0.7 of the radius: how alike the blades are."""

from dataclasses import dataclass


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
