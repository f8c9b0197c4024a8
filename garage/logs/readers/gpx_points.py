"""The points of a GPX file as columns: as texts while the file is read, as numbers soon after."""

from __future__ import annotations

from collections.abc import Sequence

from garage.calc.arrays import np
from garage.logs.readers.texts import moments, numbers

# A point's dilution of precision above this is a poor fix; common practice, no source.
MOST_HDOP = 5.0


class PointColumns:
    """Texts of the points: latitude, longitude, time, speed, dilution, kind of fix, None where there is none."""

    def __init__(self) -> None:
        # Columns rather than rows: texts alone give the garbage collector nothing to look through.
        self.lat: list[str | None] = []
        self.lon: list[str | None] = []
        self.time: list[str | None] = []
        self.speed: list[str | None] = []
        self.hdop: list[str | None] = []
        self.fix: list[str | None] = []
        self.tracks = 0
        self.waypoints = 0
        self._settled: list[list[np.ndarray]] = []
        self._settled_count = 0

    @property
    def waiting(self) -> int:
        """How many points are still texts."""
        return len(self.lat)

    @property
    def count(self) -> int:
        """How many points there are so far."""
        return self._settled_count + len(self.lat)

    def settle(self) -> None:
        """Turn the texts so far into numbers, which take a tenth of their room."""
        with np.errstate(invalid="ignore"):
            poor = _column(self.hdop) > MOST_HDOP
        if any(self.fix):
            poor |= np.array([text == "none" for text in self.fix])
        unix = moments([text or "" for text in self.time])
        self._settled.append([unix, _column(self.lat), _column(self.lon), _column(self.speed), poor])
        self._settled_count += len(self.lat)
        for texts in (self.lat, self.lon, self.time, self.speed, self.hdop, self.fix):
            texts.clear()

    def columns(self) -> list[np.ndarray]:
        """Time since 1970, latitude, longitude, speed, and whether the fix is poor, of every point."""
        self.settle()
        return [np.concatenate(parts) for parts in zip(*self._settled, strict=True)]


def _column(texts: Sequence[str | None]) -> np.ndarray:
    """A column of texts as numbers, NaN where there is none."""
    if not any(texts):
        return np.full(len(texts), np.nan)
    return numbers([text or "nan" for text in texts])
