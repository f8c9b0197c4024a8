"""GPX 1.0 and 1.1: track points with time, and the receiver's speed wherever the file hides it.

GPX 1.0 has a speed element; 1.1 has none, yet receivers write a bare one all the same, or one among the
extensions. Names are taken without their namespace, so all of them are read. Speeds are in m/s.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, ParseError, XMLPullParser
from xml.parsers import expat

from garage.calc.arrays import np
from garage.calc.track.track import Track
from garage.logs.readers.opening import open_to_read
from garage.logs.readers.result import ReadLog, UnreadableLog, refuse_too_many
from garage.logs.readers.texts import moments, numbers

# A point's dilution of precision above this is a poor fix; common practice, no source.
MOST_HDOP = 5.0
_CHUNK = 1 << 16
_FEED = 1 << 14
# So many points are kept as texts at once.
_SETTLE_AT = 200_000
# The parser looks through a comment or an attribute again with every piece it is fed: a long one costs hours.
_MOST_BARREN = 1 << 20
_BARREN = "The file holds more than 1 MB without a single element in it, which no GPX file does. It was not read."


class _RootReached(Exception):
    """The prolog is over."""


def read_gpx(path: Path) -> ReadLog:
    """The track points of a file, of all its tracks one after the other. Raises UnreadableLog."""
    _refuse_doctype(path)
    points = _Points()
    cut_short = ""
    try:
        with _uncollected():
            _walk(path, points)
    except ParseError as error:
        if not points.count:
            raise UnreadableLog(f"This is not a whole GPX file: {error}.") from error
        cut_short = "The file is damaged or cut short; what came before that was read."
    if not points.count:
        if points.waypoints:
            raise UnreadableLog("The file holds places or a route but no track, so there is no run in it.")
        raise UnreadableLog("The file holds no track points.")
    return _read_log(points, cut_short)


def _refuse_doctype(path: Path) -> None:
    """A log has no use for a document type, and entities in one can be made to fill any memory."""
    parser = expat.ParserCreate()

    def refuse(*_: object) -> None:
        raise UnreadableLog("The file declares a document type, which no GPX file needs. It was not read.")

    def stop(*_: object) -> None:
        raise _RootReached

    parser.StartDoctypeDeclHandler = refuse
    parser.StartElementHandler = stop
    try:
        with path.open("rb") as file:
            while chunk := file.read(_CHUNK):
                if file.tell() > _MOST_BARREN:
                    raise UnreadableLog(_BARREN)
                parser.Parse(chunk, False)
            parser.Parse(b"", True)
    except _RootReached:
        return
    except (expat.ExpatError, ValueError, LookupError) as error:
        raise UnreadableLog(f"This is not a GPX file: {error}.") from error


# What is done when an element of that name ends; all others are passed over.
_POINT, _SEGMENT, _TRACK, _ELSEWHERE, _QUALITY = 1, 2, 3, 4, 5
_ENDS = {
    "trkpt": _POINT,
    "trkseg": _SEGMENT,
    "trk": _TRACK,
    "wpt": _ELSEWHERE,
    "rte": _ELSEWHERE,
    "hdop": _QUALITY,
    "fix": _QUALITY,
}


class _Names(dict[str, int]):
    """What to do at a tag, looked up by its name without the namespace, once for each tag."""

    def __missing__(self, tag: str) -> int:
        self[tag] = _ENDS.get(tag.rpartition("}")[2], 0)
        return self[tag]


class _Points:
    """Texts of the points: latitude, longitude, time, speed, dilution, kind of fix, None where there is none."""

    def __init__(self) -> None:
        # Columns rather than rows: texts alone give the garbage collector nothing to look through.
        self.lat: list[str | None] = []
        self.lon: list[str | None] = []
        self.time: list[str | None] = []
        self.speed: list[str | None] = []
        self.hdop: list[str | None] = []
        self.fix: list[str | None] = []
        self.says_how_good = False
        self.tracks = 0
        self.waypoints = 0
        self._settled: list[list[np.ndarray]] = []
        self._settled_count = 0

    @property
    def count(self) -> int:
        """How many points there are so far."""
        return self._settled_count + len(self.lat)

    def settle(self) -> None:
        """Turn the texts so far into numbers, which take a tenth of their room."""
        with np.errstate(invalid="ignore"):
            poor = _column(self.hdop) > MOST_HDOP if self.hdop else np.zeros(len(self.lat), dtype=bool)
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

    def begin_quality(self) -> None:
        """From here on points may say how good they are; none of those before did."""
        if not self.says_how_good:
            self.hdop = [None] * len(self.lat)
            self.fix = [None] * len(self.lat)
            self.says_how_good = True


@contextmanager
def _uncollected() -> Iterator[None]:
    """Without the garbage collector, which would look through every point again and again: no cycles arise here."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _walk(path: Path, points: _Points) -> None:
    """One pass over the file, fed to the parser piece by piece (quicker than iterparse, which goes through one
    more generator for every element); each point is emptied as soon as it is read."""
    parser: Any = XMLPullParser(("end",))
    take = _Taker(points).take
    barren = 0
    with open_to_read(path) as file:
        while chunk := file.read(_FEED):
            parser.feed(chunk)
            barren = 0 if take(parser.read_events()) else barren + len(chunk)
            if barren > _MOST_BARREN:
                raise UnreadableLog(_BARREN)
            if len(points.lat) >= _SETTLE_AT:
                points.settle()
                refuse_too_many(points.count)
    parser.close()
    take(parser.read_events())


class _Taker:
    """Takes points from the elements that have ended."""

    def __init__(self, points: _Points) -> None:
        self._points, self._ends, self._point_tag = points, _Names(), ""
        self._tags = ("", "", "", "", "")

    def take(self, ended: Iterable[tuple[str, Any]]) -> bool:
        """Take what there is in some elements; whether there were any. Raises ParseError at a fault of the file."""
        points, ends = self._points, self._ends
        lats, lons, times, speeds = points.lat.append, points.lon.append, points.time.append, points.speed.append
        time, speed, hdop, fix, extensions = self._tags
        element = None
        for _, element in ended:
            tag = element.tag
            end = ends[tag]
            if not end:
                continue
            if end != _POINT:
                self._other(element, end)
                continue
            if tag != self._point_tag:
                time, speed, hdop, fix, extensions = self._learn(tag)
            find, get = element.findtext, element.get
            fast = find(speed)
            if fast is None and (beyond := element.find(extensions)) is not None:
                fast = _hidden_speed(beyond)
            lats(get("lat"))
            lons(get("lon"))
            times(find(time))
            speeds(fast)
            if points.says_how_good:
                points.hdop.append(find(hdop))
                points.fix.append(find(fix))
            element.clear()
        return element is not None

    def _learn(self, tag: str) -> tuple[str, str, str, str, str]:
        """The tags within a point, which are in its own namespace."""
        space = tag[: -len("trkpt")]
        self._point_tag = tag
        self._tags = (space + "time", space + "speed", space + "hdop", space + "fix", space + "extensions")
        return self._tags

    def _other(self, element: Element, end: int) -> None:
        if end == _QUALITY:
            self._points.begin_quality()
            return
        self._points.tracks += end == _TRACK
        self._points.waypoints += end == _ELSEWHERE
        element.clear()


def _hidden_speed(extensions: Element) -> str | None:
    for inner in extensions.iter():
        if inner.tag.rpartition("}")[2].lower() == "speed":
            return inner.text
    return None


def _column(texts: Sequence[str | None]) -> np.ndarray:
    """A column of texts as numbers, NaN where there is none."""
    if not any(texts):
        return np.full(len(texts), np.nan)
    return numbers([text or "nan" for text in texts])


def _read_log(points: _Points, cut_short: str) -> ReadLog:
    refuse_too_many(points.count)
    unix, lat, lon, fast, poor = points.columns()
    known = np.isfinite(unix)
    if not known.any():
        raise UnreadableLog(
            "The track has no times, so no speed can be taken from it. Record it with times and read it again."
        )
    start = float(unix[known][0])
    track = Track(
        time_s=unix - start,
        start_unix_s=start,
        lat_deg=lat,
        lon_deg=lon,
        speed_ms=fast if np.isfinite(fast).any() else None,
        poor_fix=poor if poor.any() else None,
    )
    notes = [cut_short] if cut_short else []
    if points.tracks > 1:
        notes.append(f"The file holds {points.tracks} tracks; they were read one after the other.")
    if not known.all():
        notes.append(f"{int((~known).sum())} points have no time and do not count.")
    return ReadLog(track, "GPX", notes)
