"""NMEA 0183: RMC, VTG and GGA sentences of any talker, put together by the time of their fix."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import reduce
from operator import xor
from pathlib import Path

from garage.calc.arrays import np
from garage.calc.track.track import Track
from garage.logs.readers.gpx_points import MOST_HDOP
from garage.logs.readers.opening import open_to_read
from garage.logs.readers.result import ReadLog, UnreadableLog, refuse_too_many

# One knot is 1852 m an hour, exactly (SI Brochure, 9th edition).
KNOT_MS = 1852 / 3600
_LONGEST_LINE = 1000
_NAN = float("nan")
_DAY_S = 86400.0


def checksum(sentence: bytes) -> int:
    """The exclusive or of all bytes between "$" and "*"."""
    return reduce(xor, sentence, 0)


class _Fix:
    """What is known of one moment, from however many sentences."""

    __slots__ = ("clock_s", "day_s", "lat", "lon", "speed", "hdop", "poor")

    def __init__(self, clock_s: float) -> None:
        self.clock_s = clock_s
        self.day_s = self.lat = self.lon = self.speed = self.hdop = _NAN
        self.poor = False


class _Sentences:
    """Gathers fixes; counts what could not be used."""

    def __init__(self) -> None:
        self.fixes: list[_Fix] = []
        self.wrong_sums = 0
        self.unreadable = 0
        self.used = 0

    def at(self, clock_s: float) -> _Fix:
        """The fix of that time of day, begun anew if the last one was of another."""
        if not self.fixes or self.fixes[-1].clock_s != clock_s:
            refuse_too_many(len(self.fixes))
            self.fixes.append(_Fix(clock_s))
        return self.fixes[-1]

    def take(self, line: bytes) -> None:
        """Read one line; what is no sentence of ours is passed over."""
        start = line.find(b"$")
        if start < 0:
            return
        body, star, given = line[start + 1 :].strip().partition(b"*")
        kind = body[2:5]
        if kind not in (b"RMC", b"VTG", b"GGA"):
            return
        try:
            if star and checksum(body) != int(given[:2], 16):
                self.wrong_sums += 1
                return
            _READERS[kind](self, body.decode("ascii").split(","))
            self.used += 1
        except (ValueError, IndexError, UnicodeDecodeError):
            self.unreadable += 1


def _clock(text: str) -> float:
    hours, minutes, seconds = int(text[0:2]), int(text[2:4]), float(text[4:])
    if not (0 <= hours < 24 and 0 <= minutes < 60 and 0 <= seconds < 61):
        raise ValueError("no time of day")
    return hours * 3600 + minutes * 60 + seconds


def degrees(text: str, side: str) -> float:
    """`ddmm.mmmm` with N, S, E or W as degrees; NaN for an empty field. Raises ValueError."""
    if not text or not side:
        return _NAN
    point = text.find(".")
    split = (point if point >= 0 else len(text)) - 2
    value = float(text[:split] or 0) + float(text[split:]) / 60
    return -value if side in ("S", "W") else value


def _rmc(found: _Sentences, fields: list[str]) -> None:
    fix = found.at(_clock(fields[1]))
    fix.lat, fix.lon = degrees(fields[3], fields[4]), degrees(fields[5], fields[6])
    if fields[7]:
        fix.speed = float(fields[7]) * KNOT_MS
    day = fields[9]
    if len(day) == 6:
        # Two figures for the year: receivers that are older than this century write 80 to 99.
        year = int(day[4:]) + (1900 if int(day[4:]) >= 80 else 2000)
        fix.day_s = datetime(year, int(day[2:4]), int(day[:2]), tzinfo=UTC).timestamp()
    fix.poor = fix.poor or fields[2] != "A"


def _gga(found: _Sentences, fields: list[str]) -> None:
    fix = found.at(_clock(fields[1]))
    if np.isnan(fix.lat):
        fix.lat, fix.lon = degrees(fields[2], fields[3]), degrees(fields[4], fields[5])
    fix.poor = fix.poor or fields[6] in ("", "0")
    if fields[8]:
        fix.hdop = float(fields[8])


def _vtg(found: _Sentences, fields: list[str]) -> None:
    if not found.fixes or not np.isnan(found.fixes[-1].speed):
        return
    if fields[5]:
        found.fixes[-1].speed = float(fields[5]) * KNOT_MS
    elif fields[7]:
        found.fixes[-1].speed = float(fields[7]) / 3.6


_READERS = {b"RMC": _rmc, b"GGA": _gga, b"VTG": _vtg}


def read_nmea(path: Path) -> ReadLog:
    """The fixes of a file in its own order. Raises UnreadableLog."""
    found = _Sentences()
    with open_to_read(path) as file:
        while line := file.readline(_LONGEST_LINE):
            found.take(line)
    if not found.fixes:
        if found.wrong_sums:
            raise UnreadableLog(f"None of the {found.wrong_sums} sentences has a right checksum.")
        raise UnreadableLog("The file holds no RMC, GGA or VTG sentence that can be read.")
    return ReadLog(_track(found.fixes), "NMEA", _notes(found))


def _track(fixes: list[_Fix]) -> Track:
    clock = np.array([fix.clock_s for fix in fixes])
    day = np.array([fix.day_s for fix in fixes])
    dated = np.isfinite(day)
    if dated.any():
        # A sentence without a date is of the day before it in the file, or past midnight of that day.
        filled = day[np.maximum.accumulate(np.where(dated, np.arange(len(day)), np.flatnonzero(dated)[0]))]
        unix = filled + clock
        late = np.concatenate(([False], (np.diff(unix) < -_DAY_S / 2) & ~dated[1:]))
        unix += np.cumsum(late) * _DAY_S * ~dated
        start: float | None = float(unix[0])
        time = unix - unix[0]
    else:
        wrapped = np.concatenate(([0], np.cumsum(np.diff(clock) < -_DAY_S / 2)))
        time, start = clock + wrapped * _DAY_S - clock[0], None
    speed = np.array([fix.speed for fix in fixes])
    hdop = np.array([fix.hdop for fix in fixes])
    poor = np.array([fix.poor for fix in fixes])
    with np.errstate(invalid="ignore"):
        poor |= hdop > MOST_HDOP
    return Track(
        time_s=time,
        start_unix_s=start,
        lat_deg=np.array([fix.lat for fix in fixes]),
        lon_deg=np.array([fix.lon for fix in fixes]),
        speed_ms=speed if np.isfinite(speed).any() else None,
        poor_fix=poor if poor.any() else None,
    )


def _notes(found: _Sentences) -> list[str]:
    notes = []
    if found.wrong_sums:
        notes.append(f"{found.wrong_sums} sentences have a wrong checksum and were passed over.")
    if found.unreadable:
        notes.append(f"{found.unreadable} sentences could not be read and were passed over.")
    return notes
