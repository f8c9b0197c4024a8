"""One file of any kind to a track: what it is, is told by its content and never by its name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from garage.calc.arrays import np
from garage.logs.readers.columns import Picked
from garage.logs.readers.delimited import read_delimited
from garage.logs.readers.fit import read_fit
from garage.logs.readers.gpx import read_gpx
from garage.logs.readers.nmea import read_nmea
from garage.logs.readers.result import MOST_BYTES, ReadLog, UnreadableLog

_HEAD_BYTES = 4096
# A sentence as a receiver begins it: two letters for the talker, three for the kind.
_SENTENCE = re.compile(rb"[$!](?:[A-Z]{2}(?:RMC|GGA|VTG|GSV|GSA|GLL|ZDA|TXT|GNS|GST)|P[A-Z]{3}[A-Z0-9]*),")
# 1 January 1990: a receiver that lost its clock writes dates of 1980.
_FIRST_LIKELY_UNIX_S = 631152000.0


def kind_of(path: Path) -> str:
    """ "GPX", "FIT", "NMEA" or "table". Raises UnreadableLog for an empty or far too large file."""
    try:
        about = path.stat()
        # A pipe or a device may go on for ever and cannot be read twice.
        if not (S_ISREG(about.st_mode) or S_ISDIR(about.st_mode)):
            raise UnreadableLog("This is no file.")
        size = about.st_size
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
    except OSError as error:
        raise UnreadableLog(f"The file cannot be opened: {error.strerror}.") from error
    if not head.strip(b"\x00\r\n\t "):
        raise UnreadableLog("The file is empty.")
    if size > MOST_BYTES:
        raise UnreadableLog(f"The file is larger than {MOST_BYTES // 1_000_000} MB, which no log of a day is.")
    if head[8:12] == b".FIT":
        return "FIT"
    if _is_xml(head):
        return "GPX"
    if any(_SENTENCE.match(line.lstrip()) for line in head.splitlines()):
        return "NMEA"
    return "table"


def _is_xml(head: bytes) -> bool:
    for mark, name in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig")):
        if head.startswith(mark):
            return head.decode(name, errors="replace").lstrip().startswith("<")
    return head.lstrip().startswith(b"<")


def read_log(path: Path, columns: Mapping[str, Picked] | None = None) -> ReadLog:
    """The track in a file; `columns` are for a table. Raises UnreadableLog in words."""
    kind = kind_of(path)
    if kind == "table":
        read = read_delimited(path, columns)
    else:
        read = {"GPX": read_gpx, "FIT": read_fit, "NMEA": read_nmea}[kind](path)
    notes = [*read.notes, *_about_dates(read)]
    return ReadLog(read.track, read.kind, notes)


def _about_dates(read: ReadLog) -> list[str]:
    start = read.track.start_unix_s
    if start is not None and np.isfinite(start) and start < _FIRST_LIKELY_UNIX_S:
        return ["The dates in the file are from before 1990: the logger's clock was not set. Times within it hold."]
    return []
