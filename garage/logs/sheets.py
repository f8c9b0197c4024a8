"""What the pages of logs show: every figure with how it was had."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from garage.calc.track.agreement import DISPUTED
from garage.logs.readers.columns import ROLE_WORDS, ROLES
from garage.logs.readers.delimited import Preview
from garage.logs.tables import LogFile, LogPiece
from garage.measures import Measure
from garage.moments import Moment

SOURCE_WORDS = {
    "doppler": "the receiver's own speed",
    "position": "worked out from positions",
    "": "no speed",
    None: "no speed",
}


@dataclass(frozen=True)
class LogLine:
    """One log in a list."""

    id: int
    name: str
    kind: str
    written: Moment
    samples: int
    rate_hz: float
    duration: Measure
    source: str
    waits: bool


@dataclass(frozen=True)
class LogListSheet:
    """Logs, newest first."""

    rows: list[LogLine]
    page: int
    more: bool


@dataclass(frozen=True)
class Denied:
    """What both witnesses say in a piece that contradicts itself; `columns` says that its columns can be picked
    anew."""

    receiver: Measure
    places: Measure
    ratio: float | None
    columns: bool


@dataclass(frozen=True)
class PieceLine:
    """One piece: when, whose, and its speeds; `run_flags` what to bear in mind of that run. `denied` is None unless
    the piece contradicts itself, which then has no headline."""

    log_id: int
    log: str
    number: int
    start_s: float
    end_s: float
    clock: str
    run_id: int | None
    run: str
    top: Measure
    two_way: Measure
    peak: Measure
    distance: Measure
    corners: int
    run_flags: list[str] = field(default_factory=list)
    denied: Denied | None = None


@dataclass(frozen=True)
class OwnerLogsSheet:
    """The logs of a run or an outing, and the form to add more."""

    title: str
    back: str
    action: str
    is_run: bool
    pieces: list[PieceLine]
    logs: list[LogLine]
    course: Measure
    most_mb: int
    values: dict[str, str]


@dataclass(frozen=True)
class LogSheet:
    """One log: what the file is, and its pieces with the runs they may belong to."""

    line: LogLine
    sha256: str
    size_bytes: int
    outing_id: int | None
    notes: list[str]
    pieces: list[PieceLine]
    run_choices: list[tuple[str, str]]
    set_aside: bool
    values: dict[str, str]


@dataclass(frozen=True)
class ColumnChoice:
    """One column of a table, with its first cells."""

    field: str
    heading: str
    unit: str
    cells: list[str]


@dataclass(frozen=True)
class ColumnsSheet:
    """The preview of a table, to pick columns from. `groups` are what a column can be."""

    log_id: int
    name: str
    delimiter: str
    columns: list[ColumnChoice]
    groups: list[tuple[str, list[tuple[str, str]]]]
    values: dict[str, str]


def log_line(row: LogFile) -> LogLine:
    """A log as one line."""
    return LogLine(
        row.id,
        row.name,
        row.kind,
        Moment(row.created_at, 0),
        row.samples,
        row.rate_hz,
        Measure(row.duration_s or None, "duration", "from first sample to last"),
        SOURCE_WORDS[row.source],
        row.read_at is None,
    )


def piece_line(row: LogPiece, log: LogFile, clock: str, run: str) -> PieceLine:
    """A piece as one line; `clock` is the time of day of its beginning, if the log knows it."""
    found = json.loads(row.found)
    source, denied = SOURCE_WORDS[found.get("speed_source")], _denied(found, log)
    return PieceLine(
        log_id=row.log_id,
        log=log.name,
        number=row.number,
        start_s=row.start_s,
        end_s=row.end_s,
        clock=clock,
        run_id=row.run_id,
        run=run,
        top=Measure(row.top_kmh, "speed", f"log, mean over two seconds, {source}"),
        two_way=Measure(row.two_way_kmh, "speed", f"log, both ways over {log.course_m:g} m, mean of the speeds"),
        peak=Measure(row.peak_kmh, "speed", "log, highest single sample", peak_caution(denied is not None)),
        distance=Measure(found.get("distance_m"), "distance", "along the track"),
        corners=int(found.get("corner_count", 0)),
        denied=denied,
    )


def peak_caution(contradicted: bool, otherwise: str = "reads high") -> str:
    """What to bear in mind of a highest sample: that its log contradicts itself weighs more than anything else."""
    return "the log contradicts itself" if contradicted else otherwise


def _denied(found: Mapping[str, Any], log: LogFile) -> Denied | None:
    if found.get("agreement") != DISPUTED:
        return None
    said = found["witnesses"]
    return Denied(
        Measure(said["receiver_kmh"], "speed", "the receiver, mean over two seconds"),
        Measure(said["places_kmh"], "speed", "its places, for the same 2 s"),
        said["ratio"],
        log.kind == "table",
    )


def notes_of(row: LogFile) -> list[str]:
    """What was odd about a file."""
    return list(json.loads(row.notes))


def columns_sheet(row: LogFile, looked: Preview) -> ColumnsSheet:
    """The preview of a table with what its headings suggest already picked."""
    columns = [
        ColumnChoice(
            f"column{at}",
            heading,
            looked.units_row[at] if at < len(looked.units_row) else "",
            [cells[at][:40] if at < len(cells) else "" for cells in looked.rows],
        )
        for at, heading in enumerate(looked.headings)
    ]
    values = {f"column{picked.column}": f"{role}|{picked.unit}" for role, picked in looked.suggested.items()}
    groups = [(ROLE_WORDS[role], [(f"{role}|{unit}", unit) for unit in units]) for role, units in ROLES.items()]
    names = {"\t": "tab", ";": "semicolon", ",": "comma", "|": "bar"}
    return ColumnsSheet(row.id, row.name, names.get(looked.delimiter, looked.delimiter), columns, groups, values)
