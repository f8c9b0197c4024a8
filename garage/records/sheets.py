"""What the page of records shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from garage.hulls.fields import HULL_KINDS
from garage.records.board import BoardRow, fastest
from garage.records.forms import NOT_WRITTEN, Filters
from garage.records.sections import Section
from garage.records.ways import Way
from garage.runs.lines.line import RunLine
from garage.units import DisplayUnits

_FIELDS = (
    "cells",
    "hull",
    "kind",
    "prop",
    "blades",
    "pack",
    "modification",
    "since",
    "until",
    "how",
    "at_least",
    "ways",
    "averaging",
    "course",
    "no_course",
)


@dataclass(frozen=True)
class RecordRow:
    """One record: its rank among the speeds measured in the same way, and the run."""

    way: str
    rank: int
    run: RunLine


@dataclass(frozen=True)
class SectionSheet:
    """One way of measuring. `alone` is the address that shows it alone, in pages."""

    way: str
    anchor: str
    rows: list[RecordRow]
    more: bool
    alone: str


@dataclass(frozen=True)
class RecordsSheet:
    """Records by way of measuring. `fastest` is the fastest figure of all, however it was read; `board` the best of
    each boat; `rows` are all lines; `errors` says which filter was left out."""

    fastest: RunLine | None
    board: list[BoardRow]
    sections: list[SectionSheet]
    rows: list[RecordRow]
    filters: Filters
    errors: dict[str, str]
    values: dict[str, str]
    suggestions: dict[str, list[str]]
    filtered: bool
    page: int
    more: bool
    base: str
    kinds: tuple[str, ...] = HULL_KINDS


def section_sheet(section: Section, query: dict[str, str], offset: int, units: DisplayUnits) -> SectionSheet:
    """One section with its ranks."""
    way = section.way.words(units)
    rows = [RecordRow(way, offset + place, line) for place, line in enumerate(section.lines, 1)]
    alone = "/records?" + urlencode({**query, **_way_query(section.way)})
    return SectionSheet(way, section.way.anchor, rows, section.more, alone)


def records_sheet(
    found: list[Section],
    best: list[BoardRow],
    filters: Filters,
    errors: dict[str, str],
    query: Mapping[str, str],
    suggestions: dict[str, list[str]],
    units: DisplayUnits,
    *,
    page: int,
    offset: int,
) -> RecordsSheet:
    """The page of records."""
    kept = {name: query[name] for name in _FIELDS if query.get(name)}
    sections = [section_sheet(section, kept, offset, units) for section in found]
    return RecordsSheet(
        fastest=fastest([line for section in found for line in section.lines[:1]]) if page == 1 else None,
        board=best,
        sections=sections,
        rows=[row for section in sections for row in section.rows],
        filters=filters,
        errors=errors,
        values=kept,
        suggestions=suggestions,
        filtered=filters.any,
        page=page,
        more=len(found) == 1 and found[0].more,
        base="/records?" + (urlencode(kept) + "&" if kept else ""),
    )


def _way_query(way: Way) -> dict[str, str]:
    course = {"course": f"{way.course_m!r} m"} if way.course_m else {"no_course": "yes"}
    return {
        "how": way.how or NOT_WRITTEN,
        "ways": way.ways or NOT_WRITTEN,
        "averaging": way.averaging or NOT_WRITTEN,
        **course,
    }
