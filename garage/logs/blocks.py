"""Columns of samples as compressed blocks: whole numbers of a stated resolution, as differences."""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.track import CHANNELS, Track

# What a column is rounded to: finer than any instrument that fills it.
RESOLUTIONS: Mapping[str, float] = {
    "time_s": 1e-4,
    "lat_deg": 1e-9,
    "lon_deg": 1e-9,
    "speed_ms": 1e-4,
    "poor_fix": 1.0,
    "voltage_v": 1e-3,
    "current_a": 1e-3,
    "shaft_rpm": 0.1,
    "motor_c": 0.01,
    "controller_c": 0.01,
    "pack_c": 0.01,
    "throttle_percent": 0.01,
}
_LEVEL = 1
_LARGEST = 2.0**62


@dataclass(frozen=True)
class Block:
    """One packed column."""

    name: str
    resolution: float
    samples: int
    content: bytes


def pack_column(name: str, values: np.ndarray) -> Block:
    """Pack one column; what is not finite or beyond any sense comes back as NaN."""
    resolution = RESOLUTIONS[name]
    with np.errstate(invalid="ignore", over="ignore"):
        scaled = np.round(values.astype(float) / resolution)
        known = np.isfinite(scaled) & (np.abs(scaled) < _LARGEST)
    whole = np.where(known, scaled, 0).astype(np.int64)
    if not known.all():
        # A gap repeats the number before it, which packs to nothing.
        last = np.maximum.accumulate(np.where(known, np.arange(len(whole)), 0))
        whole = whole[last]
    steps = np.diff(whole, prepend=0)
    by_byte = steps.astype("<i8").view(np.uint8).reshape(-1, 8).T.copy()
    content = np.packbits(known).tobytes() + by_byte.tobytes()
    return Block(name, resolution, len(values), zlib.compress(content, _LEVEL))


def unpack_column(block: Block) -> np.ndarray:
    """The column of a block. ValueError for a damaged one."""
    try:
        content = zlib.decompress(block.content)
    except zlib.error as error:
        raise ValueError(f"The samples of {block.name} are damaged.") from error
    count = block.samples
    mask_bytes = (count + 7) // 8
    if len(content) != mask_bytes + 8 * count:
        raise ValueError(f"The samples of {block.name} are damaged.")
    known = np.unpackbits(np.frombuffer(content[:mask_bytes], dtype=np.uint8), count=count).astype(bool)
    by_byte = np.frombuffer(content[mask_bytes:], dtype=np.uint8).reshape(8, count)
    whole = np.cumsum(by_byte.T.copy().view("<i8").reshape(-1))
    return np.where(known, whole * block.resolution, np.nan)


def pack_track(track: Track) -> list[Block]:
    """All columns of a track."""
    columns = {
        "time_s": track.time_s,
        "lat_deg": track.lat_deg,
        "lon_deg": track.lon_deg,
        "speed_ms": track.speed_ms,
        "poor_fix": track.poor_fix,
        **track.channels,
    }
    return [pack_column(name, values) for name, values in columns.items() if values is not None]


def unpack_track(blocks: list[Block], start_unix_s: float | None) -> Track:
    """The track that was packed."""
    columns = {block.name: unpack_column(block) for block in blocks}
    poor = columns.get("poor_fix")
    return Track(
        time_s=columns["time_s"],
        start_unix_s=start_unix_s,
        lat_deg=columns.get("lat_deg"),
        lon_deg=columns.get("lon_deg"),
        speed_ms=columns.get("speed_ms"),
        poor_fix=None if poor is None else poor > 0.5,
        channels={name: columns[name] for name in CHANNELS if name in columns},
    )
