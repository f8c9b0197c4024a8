"""What reading a file gives, and what is said when it gives nothing."""

from __future__ import annotations

from dataclasses import dataclass, field

from garage.calc.track.track import Track
from garage.errors import GarageError

# A day at 25 Hz is two million samples; a file beyond this is not a log of a boat.
MOST_SAMPLES = 2_500_000
MOST_BYTES = 300_000_000


class UnreadableLog(GarageError):
    """The file cannot be read as a log; the words say why and stand beside the field."""


@dataclass(frozen=True)
class ReadLog:
    """A track, the kind of file it came from, and in words what could not be read of it."""

    track: Track
    kind: str
    notes: list[str] = field(default_factory=list)


def refuse_too_many(count: int) -> None:
    """Raises UnreadableLog when a file holds more samples than can be kept in memory."""
    if count > MOST_SAMPLES:
        raise UnreadableLog(f"The file holds more than {MOST_SAMPLES:,} samples. Cut it into pieces of a day or less.")
