"""What the page of a boat's corners shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from garage.logs.corner_store import StateCorners
from garage.measures import Measure


@dataclass(frozen=True)
class StateCornersRow:
    """The corners of one build state on average."""

    state: int
    corners: int
    runs: int
    entry: Measure
    lowest: Measure
    exit: Measure
    kept: Measure
    lateral_g: float
    radius: Measure
    rating: float | None


@dataclass(frozen=True)
class HullCornersSheet:
    """How a boat corners, by build state."""

    hull_id: int
    hull: str
    rows: list[StateCornersRow]


def hull_corner_rows(found: Sequence[StateCorners], numbers: dict[int, int]) -> list[StateCornersRow]:
    """Corners by build state."""
    how = "mean of its corners, from logs"
    return [
        StateCornersRow(
            numbers[one.state_id],
            one.corners,
            one.runs,
            Measure(one.entry_kmh, "speed", how),
            Measure(one.lowest_kmh, "speed", how),
            Measure(one.exit_kmh, "speed", how),
            Measure(one.kept_percent, "percent", how),
            one.lateral_g,
            Measure(one.radius_m, "distance", how),
            one.rating,
        )
        for one in found
    ]
