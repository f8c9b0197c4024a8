"""What the pages of logs show: every figure with how it was had."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup

from garage.calc.track.cleaning import REASONS
from garage.logs.readers.columns import ROLE_WORDS, ROLES
from garage.logs.readers.delimited import Preview
from garage.logs.store import StateCorners
from garage.logs.tables import LogFile, LogPiece, LogRestored
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
class PieceLine:
    """One piece: when, whose, and its speeds; `run_flags` what to bear in mind of that run."""

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


@dataclass(frozen=True)
class PassRow:
    """One straight pass."""

    start_s: float
    end_s: float
    heading_deg: float | None
    length: Measure
    entry: Measure
    peak: Measure
    exit: Measure
    course: Measure


@dataclass(frozen=True)
class CornerRow:
    """One corner."""

    start_s: float
    end_s: float
    side: str
    entry: Measure
    lowest: Measure
    exit: Measure
    kept: Measure
    radius: Measure
    lateral_g: float


@dataclass(frozen=True)
class StruckRow:
    """Samples in a row that do not count, with the reason."""

    first: int
    last: int
    at_s: float
    reason: str


@dataclass(frozen=True)
class RestoredRow:
    """Samples that a person lets count."""

    id: int
    first: int
    last: int
    why: str
    day: Moment


@dataclass(frozen=True)
class Offer:
    """A speed that can be written as the run's."""

    which: str
    speed: Measure
    words: str


@dataclass(frozen=True)
class SliceRow:
    """What the charts draw, over one slice of the span, as name and figure."""

    start_s: float
    end_s: float
    figures: list[tuple[str, Measure]]


@dataclass(frozen=True)
class TraceSheet:
    """The charts of a piece over a span of time, and where to look next."""

    at: str
    start_s: float
    end_s: float
    whole_start_s: float
    whole_end_s: float
    further: list[tuple[str, str]]
    speed: Markup = field(repr=False, default=Markup(""))
    plan: Markup = field(repr=False, default=Markup(""))
    channels: list[tuple[str, Markup]] = field(repr=False, default_factory=list)
    slices: list[SliceRow] = field(default_factory=list)


@dataclass(frozen=True)
class PieceSheet:
    """One piece: charts, measures, passes, corners, slip and load."""

    line: PieceLine
    at: str
    source: str
    trace: TraceSheet
    speeds: list[tuple[str, Measure]]
    facts: list[tuple[str, Measure]]
    drive: list[tuple[str, Measure]]
    drive_words: list[str]
    passes: list[PassRow]
    corners: list[CornerRow]
    said: list[str]
    rejected: list[tuple[str, int]]
    struck: list[StruckRow]
    restored: list[RestoredRow]
    offers: list[Offer]
    run_speed: str
    values: dict[str, str]


@dataclass(frozen=True)
class StateCornersRow:
    """The corners of one build state on average."""

    state: int
    corners: int
    runs: int
    entry: Measure
    lowest: Measure
    exit: Measure
    kept: Measure
    lateral_g: float
    radius: Measure
    rating: float | None


@dataclass(frozen=True)
class HullCornersSheet:
    """How a boat corners, by build state."""

    hull_id: int
    hull: str
    rows: list[StateCornersRow]


def log_line(row: LogFile) -> LogLine:
    """A log as one line."""
    assert row.id is not None
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
    source = SOURCE_WORDS[found.get("speed_source")]
    return PieceLine(
        log_id=row.log_id,
        log=log.name,
        number=row.number,
        start_s=row.start_s,
        end_s=row.end_s,
        clock=clock,
        run_id=row.run_id,
        run=run,
        top=Measure(row.top_kmh, "speed", f"log, best 2 s, {source}"),
        two_way=Measure(row.two_way_kmh, "speed", f"log, both ways over {log.course_m:g} m, mean of the speeds"),
        peak=Measure(row.peak_kmh, "speed", "log, highest single sample", "reads high"),
        distance=Measure(found.get("distance_m"), "distance", "along the track"),
        corners=int(found.get("corner_count", 0)),
    )


def notes_of(row: LogFile) -> list[str]:
    """What was odd about a file."""
    return list(json.loads(row.notes))


def columns_sheet(row: LogFile, looked: Preview) -> ColumnsSheet:
    """The preview of a table with what its headings suggest already picked."""
    assert row.id is not None
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


def pass_rows(found: Sequence[dict[str, Any]], course_m: float) -> list[PassRow]:
    """Passes as they are shown."""
    return [
        PassRow(
            one["start_s"],
            one["end_s"],
            one["heading_deg"],
            Measure(one["length_m"], "distance", "along the track"),
            Measure(one["entry_kmh"], "speed", "at its beginning"),
            Measure(one["peak_kmh"], "speed", "highest in it"),
            Measure(one["exit_kmh"], "speed", "at its end"),
            Measure(one["course_kmh"], "speed", f"best mean over {course_m:g} m"),
        )
        for one in found
    ]


_ROUGH = "few samples: wider than it was"


def corner_rows(found: Sequence[dict[str, Any]]) -> list[CornerRow]:
    """Corners as they are shown."""
    return [
        CornerRow(
            one["start_s"],
            one["end_s"],
            "right" if one["turned_deg"] > 0 else "left",
            Measure(one["entry_kmh"], "speed", "at its beginning"),
            Measure(one["lowest_kmh"], "speed", "lowest in it"),
            Measure(one["exit_kmh"], "speed", "at its end"),
            Measure(one["kept_percent"], "percent", "lowest of entry speed"),
            Measure(one["radius_m"], "distance", "circle through its steady part", _ROUGH if one.get("rough") else ""),
            one["lateral_g"],
        )
        for one in found
    ]


def struck_rows(reasons: Sequence[int], index: Sequence[int], time_s: Sequence[float], most: int) -> list[StruckRow]:
    """Samples that do not count, neighbours of one reason together; `index` numbers them in the whole log."""
    rows: list[StruckRow] = []
    for at, code, time in zip(index, reasons, time_s, strict=True):
        if not code or code == len(REASONS) - 1:
            continue
        if rows and rows[-1].last == at - 1 and rows[-1].reason == REASONS[code]:
            rows[-1] = StruckRow(rows[-1].first, at, rows[-1].at_s, rows[-1].reason)
        elif len(rows) < most:
            rows.append(StruckRow(at, at, time, REASONS[code]))
        else:
            break
    return rows


def restored_rows(found: Sequence[LogRestored]) -> list[RestoredRow]:
    """What a person let count."""
    return [RestoredRow(row.id or 0, row.first_sample, row.last_sample, row.why, Moment(row.at, 0)) for row in found]


def hull_corner_rows(found: Sequence[StateCorners], numbers: dict[int, int]) -> list[StateCornersRow]:
    """Corners by build state."""
    how = "mean of its corners, from logs"
    return [
        StateCornersRow(
            numbers[one.state_id],
            one.corners,
            one.runs,
            Measure(one.entry_kmh, "speed", how),
            Measure(one.lowest_kmh, "speed", how),
            Measure(one.exit_kmh, "speed", how),
            Measure(one.kept_percent, "percent", how),
            one.lateral_g,
            Measure(one.radius_m, "distance", how),
            one.rating,
        )
        for one in found
    ]
