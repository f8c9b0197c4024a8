"""What the page of a piece of a log shows: every figure with how it was had."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup

from garage.calc.track.cleaning import REASONS
from garage.logs.sheets import PieceLine
from garage.logs.tables import LogRestored
from garage.measures import Measure
from garage.moments import Moment


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
    return [RestoredRow(row.id, row.first_sample, row.last_sample, row.why, Moment(row.at, 0)) for row in found]
