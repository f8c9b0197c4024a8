"""A log's positions as GPX 1.1 (topografix.com/GPX/1/1), which any map program reads."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from xml.sax.saxutils import escape

from garage.calc.track.track import Track

_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<gpx version="1.1" creator="garage notebook" xmlns="http://www.topografix.com/GPX/1/1">\n'
    "<trk><name>{}</name>\n<trkseg>\n"
)
_TAIL = "</trkseg>\n</trk>\n</gpx>\n"
_BEGINNING = datetime(1970, 1, 1, tzinfo=UTC)


def gpx_lines(track: Track, name: str) -> Iterator[str]:
    """The track as GPX, in pieces of text; points without a position are left out, so none may be left."""
    yield _HEAD.format(escape("".join(sign for sign in name if sign.isprintable())))
    if track.lat_deg is not None and track.lon_deg is not None:
        for time_s, lat, lon in zip(track.time_s.tolist(), track.lat_deg.tolist(), track.lon_deg.tolist(), strict=True):
            if lat == lat and lon == lon:
                yield f'<trkpt lat="{lat:.8f}" lon="{lon:.8f}">{_time(track.start_unix_s, time_s)}</trkpt>\n'
    yield _TAIL


def _time(start_unix_s: float | None, time_s: float) -> str:
    if start_unix_s is None or time_s != time_s:
        return ""
    when = _BEGINNING + timedelta(seconds=start_unix_s + time_s)
    return f"<time>{when.isoformat(timespec='milliseconds').replace('+00:00', 'Z')}</time>"
