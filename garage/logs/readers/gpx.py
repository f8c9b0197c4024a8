"""GPX 1.0 and 1.1: track points with time, and the receiver's speed wherever the file hides it.

GPX 1.0 has a speed element; 1.1 has none, yet receivers write a bare one all the same, or one among the
extensions. Names are taken without their namespace, so all of them are read. Speeds are in m/s.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from xml.etree.ElementTree import Element, ParseError, TreeBuilder, XMLParser
from xml.parsers import expat

from garage.calc.arrays import np
from garage.calc.track.track import Track
from garage.logs.readers.gpx_points import PointColumns
from garage.logs.readers.opening import open_to_read
from garage.logs.readers.result import ReadLog, UnreadableLog, refuse_too_many

_CHUNK = 1 << 16
_FEED = 1 << 15
# Nothing that a log is read for lies deeper in the file.
_DEEPEST = 16
# So many points are kept as texts at once.
_SETTLE_AT = 5_000
# The parser looks through a comment or an attribute again with every piece it is fed: a long one costs hours. And
# what has not ended fills the memory.
_MOST_BARREN = 1 << 20
_BARREN = "The file goes on for more than 1 MB within one point or one text, which no GPX file does. It was not read."


class _RootReached(Exception):
    """The prolog is over."""


def read_gpx(path: Path) -> ReadLog:
    """The track points of a file, of all its tracks one after the other. Raises UnreadableLog."""
    _refuse_doctype(path)
    points = PointColumns()
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
_POINT, _TRACK, _ELSEWHERE = 1, 2, 3
_ENDS = {
    "trkpt": _POINT,
    "trk": _TRACK,
    "wpt": _ELSEWHERE,
    "rte": _ELSEWHERE,
}


class _Names(dict[str, int]):
    """What to do at a tag, looked up by its name without the namespace, once for each tag."""

    def __missing__(self, tag: str) -> int:
        self[tag] = _ENDS.get(tag.rpartition("}")[2], 0)
        return self[tag]


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


def _walk(path: Path, points: PointColumns) -> None:
    """One pass over the file, piece by piece. After each piece what has ended is taken out of the tree that the
    parser builds, which so never holds much; being told of every element would take half as long again."""
    builder = TreeBuilder()
    parser = XMLParser(target=builder)
    taker = _Taker(points)
    barren = 0
    with open_to_read(path) as file:
        try:
            while chunk := file.read(_FEED):
                parser.feed(chunk)
                barren = 0 if taker.take_ended(builder.close()) else barren + len(chunk)
                if barren > _MOST_BARREN:
                    raise UnreadableLog(_BARREN)
                if points.waiting >= _SETTLE_AT:
                    points.settle()
                    refuse_too_many(points.count)
            parser.close()
        except ParseError:
            taker.take_ended(builder.close())
            raise
    taker.take([builder.close()])


class _Taker:
    """Takes points from elements."""

    def __init__(self, points: PointColumns) -> None:
        self._points, self._ends, self._point_tag = points, _Names(), ""
        self._tags = ("", "", "", "", "")

    def take_ended(self, root: Element | None) -> bool:
        """Take and drop what has ended in a tree that is still being built; whether there was anything.

        All but the last child of an element have ended; the file goes on within the last. A point is never taken
        in parts.
        """
        took, holder = False, root
        for _ in range(_DEEPEST):
            if holder is None or not len(holder) or self._ends[holder.tag] == _POINT:
                break
            if len(holder) > 1:
                self.take(holder[:-1])
                del holder[:-1]
                took = True
            holder = holder[0]
        return took

    def take(self, elements: list[Element]) -> None:
        """Take the points among some elements and within them."""
        ends, points = self._ends, self._points
        if any(ends[element.tag] != _POINT for element in elements):
            elements = [inner for element in elements for inner in element.iter() if ends[inner.tag]]
            kinds = [ends[element.tag] for element in elements]
            points.tracks += kinds.count(_TRACK)
            points.waypoints += kinds.count(_ELSEWHERE)
            elements = [element for element, kind in zip(elements, kinds, strict=True) if kind == _POINT]
        lats, lons, times, speeds = points.lat.append, points.lon.append, points.time.append, points.speed.append
        time, speed, hdop, fix, extensions = self._tags
        for element in elements:
            if element.tag != self._point_tag:
                time, speed, hdop, fix, extensions = self._learn(element.tag)
            find, get = element.findtext, element.get
            fast = find(speed)
            if fast is None and (beyond := element.find(extensions)) is not None:
                fast = _hidden_speed(beyond)
            lats(get("lat"))
            lons(get("lon"))
            times(find(time))
            speeds(fast)
            points.hdop.append(find(hdop))
            points.fix.append(find(fix))

    def _learn(self, tag: str) -> tuple[str, str, str, str, str]:
        """The tags within a point, which are in its own namespace."""
        space = tag[: -len("trkpt")]
        self._point_tag = tag
        self._tags = (space + "time", space + "speed", space + "hdop", space + "fix", space + "extensions")
        return self._tags


def _hidden_speed(extensions: Element) -> str | None:
    for inner in extensions.iter():
        if inner.tag.rpartition("}")[2].lower() == "speed":
            return inner.text
    return None


def _read_log(points: PointColumns, cut_short: str) -> ReadLog:
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
