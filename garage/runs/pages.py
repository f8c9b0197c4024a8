"""Pages of this room: waters, outings, runs, the evening, the pit sheet."""

from garage.runs import (
    evening_pages,
    insertion_pages,
    next_pages,
    outing_pages,
    pit_pages,
    run_pages,
    water_pages,
)
from garage.runs.routes import pages

__all__ = [
    "evening_pages",
    "insertion_pages",
    "next_pages",
    "outing_pages",
    "pages",
    "pit_pages",
    "run_pages",
    "water_pages",
]
