"""FIT activity files: their record messages. Decoding is fitdecode's; here only the fields are picked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from garage.calc.arrays import np
from garage.calc.track.track import Track
from garage.logs.readers.opening import open_to_read
from garage.logs.readers.result import ReadLog, UnreadableLog, refuse_too_many

# Half a turn is 2^31 semicircles (FIT profile).
SEMICIRCLE_DEG = 180 / 2**31
_NAN = float("nan")


def read_fit(path: Path) -> ReadLog:
    """The records of a file. Raises UnreadableLog."""
    # Slow to import, and few logs are of this kind.
    import fitdecode

    rows: list[tuple[float, float, float, float]] = []
    notes: list[str] = []
    try:
        with (
            open_to_read(path) as file,
            fitdecode.FitReader(
                file, check_crc=fitdecode.CrcCheck.READONLY, error_handling=fitdecode.ErrorHandling.IGNORE
            ) as reader,
        ):
            for frame in reader:
                if frame.frame_type == fitdecode.FIT_FRAME_CRC and not frame.matched:
                    notes.append("A checksum in the file is wrong: some of it may be damaged.")
                if frame.frame_type == fitdecode.FIT_FRAME_DATA and frame.name == "record":
                    rows.append(_row(frame))
                    refuse_too_many(len(rows))
    except UnreadableLog:
        raise
    except Exception as error:  # a damaged file can fail in any part of the decoder
        if not rows:
            raise UnreadableLog("This is not a FIT file that can be read, or it is cut short.") from error
        notes.append("The file is damaged or cut short; what came before that was read.")
    if not rows:
        raise UnreadableLog("The file holds no records.")
    return ReadLog(_track(rows), "FIT", notes)


def _row(frame: Any) -> tuple[float, float, float, float]:
    def value(name: str) -> Any:
        return frame.get_value(name, fallback=None)

    stamp = value("timestamp")
    time = stamp.timestamp() if hasattr(stamp, "timestamp") else _number(stamp)
    fraction = _number(value("fractional_timestamp"))
    speed = _number(value("enhanced_speed"))
    if speed != speed:
        speed = _number(value("speed"))
    return (
        time + (fraction if fraction == fraction else 0.0),
        _number(value("position_lat")) * SEMICIRCLE_DEG,
        _number(value("position_long")) * SEMICIRCLE_DEG,
        speed,
    )


def _number(value: Any) -> float:
    # A field of several values (or of text) in a damaged file is no number.
    return float(value) if isinstance(value, (int, float)) else _NAN


def _track(rows: list[tuple[float, float, float, float]]) -> Track:
    time, lat, lon, speed = np.array(rows, dtype=float).T
    known = np.isfinite(time)
    if not known.any():
        raise UnreadableLog("The records have no times, so no speed can be taken from them.")
    start = float(time[known][0])
    return Track(
        time_s=time - start,
        start_unix_s=start,
        lat_deg=lat if np.isfinite(lat).any() else None,
        lon_deg=lon if np.isfinite(lon).any() else None,
        speed_ms=speed if np.isfinite(speed).any() else None,
    )
