"""Delimited text of any kind: commas, semicolons, tabs; decimal commas; units in headings or a row of their own."""

from __future__ import annotations

import codecs
import csv
import hashlib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from io import TextIOWrapper
from pathlib import Path

from garage.calc.arrays import np
from garage.calc.track.track import CHANNELS, Track
from garage.logs.readers.columns import ROLES, Picked, guess
from garage.logs.readers.gpx_points import MOST_HDOP
from garage.logs.readers.opening import open_to_read
from garage.logs.readers.result import ReadLog, UnreadableLog, refuse_too_many
from garage.logs.readers.texts import clocks, moments, numbers

_HEAD_BYTES = 1 << 16
_LINES_LOOKED_AT = 60
_ROWS_SHOWN = 6
_DELIMITERS = ("\t", ";", "|", ",")
_LONGEST_LINE = 100_000
_MOST_COLUMNS = 500
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_DECIMAL_POINT = re.compile(r"[+-]?\d+\.\d+", re.ASCII)
_FIGURE = re.compile(r"[+-]?[\d.,:/TZ +-]*\d[\d.,:eE+-]*Z?", re.ASCII)


class NeedsColumns(UnreadableLog):
    """A person must say first which column is what."""


@dataclass(frozen=True)
class Preview:
    """How a delimited file is laid out, and its first rows."""

    encoding: str
    delimiter: str
    decimal_comma: bool
    first_row: int
    headings: list[str]
    units_row: list[str]
    rows: list[list[str]]
    suggested: dict[str, Picked] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """The same for every file with the same headings, so that columns are picked once."""
        told = "\x1f".join([self.delimiter, *(heading.strip().casefold() for heading in self.headings)])
        return hashlib.sha256(told.encode()).hexdigest()


def preview(path: Path) -> Preview:
    """Look at the beginning of a file. Raises UnreadableLog if it is no table."""
    with path.open("rb") as file:
        head = file.read(_HEAD_BYTES)
    encoding = _encoding(head)
    text = codecs.getincrementaldecoder(encoding)(errors="replace").decode(head)
    if _is_binary(text):
        raise UnreadableLog("This is neither GPX, NMEA, FIT nor a table of text.")
    lines = text.splitlines()
    if len(head) == _HEAD_BYTES:
        lines = lines[:-1]
    lines = lines[:_LINES_LOOKED_AT]
    delimiter, width = _layout(lines)
    rows = list(_rows(iter(lines), delimiter))
    first = next((at for at, row in enumerate(rows) if len(row) == width and _is_data(row)), None)
    if first is None:
        raise UnreadableLog("No row of numbers was found in the first lines of the file.")
    above = [row for row in rows[:first] if len(row) == width and any(cell.strip() for cell in row)]
    headings, units_row = _headings(above, width)
    shown = [row for row in rows[first:] if any(cell.strip() for cell in row)][: _ROWS_SHOWN * 2]
    comma = delimiter != "," and _has_decimal_commas(shown)
    found = Preview(encoding, delimiter, comma, first, headings, units_row, shown[:_ROWS_SHOWN])
    return Preview(**{**vars(found), "suggested": guess(headings, units_row, _pointed(shown, comma))})


def _encoding(head: bytes) -> str:
    for mark, name in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if head.startswith(mark):
            return name
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def _is_binary(text: str) -> bool:
    odd = sum(1 for sign in text if sign < " " and sign not in "\t\r\n\x00")
    return odd > len(text) * 0.02 or text.count("\x00") > len(text) * 0.1


def _layout(lines: Sequence[str]) -> tuple[str, int]:
    """Which delimiter most lines share, and into how many cells it cuts them."""
    best, best_width, best_share = "", 0, 0
    for delimiter in _DELIMITERS:
        widths = [len(row) for row in _rows(iter(lines), delimiter)]
        usable = [width for width in widths if 1 < width <= _MOST_COLUMNS]
        if not usable:
            continue
        common = max(set(usable), key=usable.count)
        share = usable.count(common)
        if share > best_share * (1.5 if best else 1):
            best, best_width, best_share = delimiter, common, share
    if best_share < 2:
        raise UnreadableLog("The file is no table: no delimiter cuts its lines into columns.")
    return best, best_width


def _rows(lines: Iterator[str], delimiter: str) -> Iterator[list[str]]:
    cleaned = (line.replace("\x00", "")[:_LONGEST_LINE] for line in lines)
    reader = csv.reader(cleaned, delimiter=delimiter)
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error:
            row = []
        yield row


def _is_data(row: Sequence[str]) -> bool:
    cells = [cell.strip() for cell in row if cell.strip()]
    figures = sum(1 for cell in cells if _FIGURE.fullmatch(cell))
    return figures >= 2 and figures * 2 >= len(cells)


def _headings(above: Sequence[Sequence[str]], width: int) -> tuple[list[str], list[str]]:
    if not above:
        return [f"column {number}" for number in range(1, width + 1)], []
    if len(above) > 1 and _looks_like_units(above[-1]):
        return _named(above[-2]), [cell.strip() for cell in above[-1]]
    return _named(above[-1]), []


def _named(row: Sequence[str]) -> list[str]:
    return [cell.strip()[:80] or f"column {number}" for number, cell in enumerate(row, 1)]


def _looks_like_units(row: Sequence[str]) -> bool:
    cells = [cell.strip() for cell in row if cell.strip()]
    return bool(cells) and all(len(cell) <= 8 for cell in cells) and len(set(cells)) <= len(cells)


def _has_decimal_commas(rows: Sequence[Sequence[str]]) -> bool:
    cells = [cell.strip() for row in rows for cell in row]
    commas = sum(1 for cell in cells if _DECIMAL_COMMA.fullmatch(cell))
    return commas > sum(1 for cell in cells if _DECIMAL_POINT.fullmatch(cell))


def _pointed(rows: Sequence[Sequence[str]], comma: bool) -> list[list[str]]:
    return [[cell.replace(",", ".") if comma else cell for cell in row] for row in rows]


def read_delimited(path: Path, columns: Mapping[str, Picked] | None = None) -> ReadLog:
    """Read a table by `columns` (role to column), or by what its headings suggest.

    Raises NeedsColumns when neither says where time is and what else to read, UnreadableLog for what is no table.
    """
    looked = preview(path)
    chosen = dict(columns if columns is not None else looked.suggested)
    if "time" not in chosen or not (set(chosen) - {"time", "date", "hdop"}):
        raise NeedsColumns("Which column is the time, and which are to be read? The headings do not tell.")
    texts, rows = _columns(path, looked, chosen)
    unix, start, bad_times = _times(texts, chosen, looked.decimal_comma)
    values = {
        role: _values(texts[role], role, picked.unit, looked.decimal_comma)
        for role, picked in chosen.items()
        if role not in ("time", "date")
    }
    track = _track(unix, start, values)
    notes = [f"{bad_times} of {rows} rows have no time that can be read and do not count."] if bad_times else []
    unread = sum(int(np.isnan(column).sum()) for column in values.values())
    if unread:
        notes.append(f"{unread} cells are empty or hold no number; they were left out.")
    return ReadLog(track, "table", notes)


def _columns(path: Path, looked: Preview, chosen: Mapping[str, Picked]) -> tuple[dict[str, list[str]], int]:
    """The texts of the columns that were picked. Rows that are too short count as empty there."""
    texts: dict[str, list[str]] = {role: [] for role in chosen}
    adders = [(texts[role].append, picked.column) for role, picked in chosen.items()]
    needed = max(picked.column for picked in chosen.values()) + 1
    count = 0
    with TextIOWrapper(open_to_read(path), encoding=looked.encoding, errors="replace", newline=None) as file:
        lines = iter(lambda: file.readline(_LONGEST_LINE), "")
        for at, row in enumerate(_rows(lines, looked.delimiter)):
            if at < looked.first_row or not row:
                continue
            count += 1
            if not count % 65536:
                refuse_too_many(count)
            if len(row) < needed:
                row = row + [""] * (needed - len(row))
            for add, column in adders:
                add(row[column])
    return texts, count


def _times(
    texts: Mapping[str, list[str]], chosen: Mapping[str, Picked], comma: bool
) -> tuple[np.ndarray, float | None, int]:
    """Seconds from the first sample, its time since 1970 (None for elapsed time), and how many cannot be read."""
    unit = chosen["time"].unit
    written = texts["time"]
    absolute = True
    if unit == "date and time":
        times = moments(written)
    elif unit == "time of day":
        times = clocks(written)
        if "date" in texts:
            times = moments(
                [f"{day.strip()}T{clock.strip()}" for day, clock in zip(texts["date"], written, strict=True)]
            )
        else:
            times = times + np.concatenate(([0.0], np.cumsum(np.diff(times) < -43200.0))) * 86400.0
            absolute = False
    else:
        times = numbers(written, comma) * ROLES["time"][unit]
        absolute = unit.endswith("1970")
    known = np.isfinite(times)
    if not known.any():
        raise UnreadableLog("No row has a time that can be read in the way that was picked.")
    start = float(times[known][0])
    return times - start, start if absolute else None, int((~known).sum())


def _values(texts: Sequence[str], role: str, unit: str, comma: bool) -> np.ndarray:
    values = numbers(texts, comma)
    if unit == "°F":
        return (values - 32) / 1.8
    return values * ROLES[role][unit]


def _track(time_s: np.ndarray, start: float | None, values: Mapping[str, np.ndarray]) -> Track:
    def known(name: str) -> np.ndarray | None:
        column = values.get(name)
        return column if column is not None and bool(np.isfinite(column).any()) else None

    hdop = known("hdop")
    with np.errstate(invalid="ignore"):
        poor = hdop > MOST_HDOP if hdop is not None else None
    both = known("latitude") is not None and known("longitude") is not None
    channels = {name: column for name in CHANNELS if (column := known(name)) is not None}
    return Track(
        time_s=time_s,
        start_unix_s=start,
        lat_deg=known("latitude") if both else None,
        lon_deg=known("longitude") if both else None,
        speed_ms=known("speed"),
        poor_fix=poor,
        channels=channels,
    )
