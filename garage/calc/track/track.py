"""What a log holds once it is read: columns of numbers, whatever kind of file they came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from garage.calc.arrays import np

# What a telemetry log may hold beside place and speed, each in the unit of its name.
CHANNELS = (
    "voltage_v",
    "current_a",
    "shaft_rpm",
    "motor_c",
    "controller_c",
    "pack_c",
    "throttle_percent",
)


@dataclass(frozen=True)
class Track:
    """One log. All columns have one value a sample; NaN where the file has none.

    `time_s` counts from the first sample, which was at `start_unix_s` (None if the file knows elapsed time
    only). `speed_ms` is the receiver's own speed over ground, from the Doppler shift; never from positions.
    `poor_fix` marks samples that the receiver itself doubted.
    """

    time_s: np.ndarray
    start_unix_s: float | None = None
    lat_deg: np.ndarray | None = None
    lon_deg: np.ndarray | None = None
    speed_ms: np.ndarray | None = None
    poor_fix: np.ndarray | None = None
    channels: Mapping[str, np.ndarray] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.time_s)

    @property
    def has_positions(self) -> bool:
        """Whether any sample has a place."""
        if self.lat_deg is None or self.lon_deg is None:
            return False
        return bool((np.isfinite(self.lat_deg) & np.isfinite(self.lon_deg)).any())

    def part(self, start_s: float, end_s: float) -> Track:
        """The samples from `start_s` to `end_s`, both among them; times still count from the whole log's start."""
        inside = (self.time_s >= start_s) & (self.time_s <= end_s)

        def cut(column: np.ndarray | None) -> np.ndarray | None:
            return None if column is None else column[inside]

        return Track(
            self.time_s[inside],
            self.start_unix_s,
            cut(self.lat_deg),
            cut(self.lon_deg),
            cut(self.speed_ms),
            cut(self.poor_fix),
            {name: column[inside] for name, column in self.channels.items()},
        )
