"""How far the reading of a form's files has come, for whoever waits for it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import FileIO
from threading import Lock

from garage.logs.readers.opening import told_of_opened


@dataclass
class Reading:
    """One form's files being read: which of how many, and the one at hand."""

    count: int
    number: int = 0
    name: str = ""
    size_bytes: int = 0
    file: FileIO | None = None

    def begin(self, name: str, size_bytes: int) -> None:
        """The next file."""
        self.number, self.name, self.size_bytes, self.file = self.number + 1, name, size_bytes, None

    def opened(self, file: FileIO) -> None:
        """The file at hand was opened, perhaps once more."""
        self.file = file

    def percent(self) -> int:
        """How much of the file at hand was taken in, 0 to 100; 100 while it is being measured."""
        file = self.file
        if file is None:
            return 0
        try:
            return min(100, round(100 * file.tell() / max(self.size_bytes, 1)))
        except ValueError:
            return 100  # closed: all of it was read


_readings: dict[str, Reading] = {}
_lock = Lock()


@contextmanager
def shown_at(address: str, count: int) -> Iterator[Reading]:
    """Within the block the reading of `count` files sent to `address` can be looked up there."""
    reading = Reading(count)
    with _lock:
        _readings[address] = reading
    try:
        with told_of_opened(reading.opened):
            yield reading
    finally:
        with _lock:
            if _readings.get(address) is reading:
                del _readings[address]


def progress_at(address: str) -> tuple[int | None, str]:
    """Percent of the file at hand and words; None where nothing is being read."""
    with _lock:
        reading = _readings.get(address)
    if reading is None or not reading.number:
        return None, ""
    percent = reading.percent()
    of = f", file {reading.number} of {reading.count}" if reading.count > 1 else ""
    doing = "Measuring" if percent == 100 else "Reading"
    return percent, f"{doing} {reading.name}{of}: {percent} %"
