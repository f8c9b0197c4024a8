"""Resistance readings of a pack: per cell, beside their conditions, and apart by method and instrument."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median
from types import MappingProxyType
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.showing import Fact, FieldValues, facts, values
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.fields import READING_FIELDS, READING_METHODS
from garage.packs.sheets import PackName, pack_name
from garage.packs.tables import Pack, PackReading

# A cell this far above the middle one of its own reading is worth a look; common practice, no source.
_STANDS_OUT = 1.5


@dataclass(frozen=True)
class ReadingLine:
    """One reading; `stands_out` names the cells far above the middle one, '' if none is."""

    id: int
    at: Moment
    method: str
    instrument: str
    cells: list[Measure]
    stands_out: str
    fields: Annotated[FieldValues, READING_FIELDS]
    listed: list[Fact]
    volts: str = ""
    mended: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class ReadingGroup:
    """Readings that may be set against each other: one method, one instrument."""

    method: str
    instrument: str
    readings: list[ReadingLine]

    @property
    def has_volts(self) -> bool:
        """Whether resting volts were written with any of them."""
        return any(one.volts for one in self.readings)


@dataclass(frozen=True)
class ReadingsSheet:
    """A pack's readings with the form for one more."""

    pack: PackName
    groups: list[ReadingGroup]
    rows: list[ReadingLine]
    page: int
    more: bool
    values: dict[str, str]
    methods: tuple[str, ...] = READING_METHODS
    fields: tuple[Field, ...] = READING_FIELDS


def reading_line(row: PackReading, mended: Sequence[str] = ()) -> ReadingLine:
    """One reading as a line, with what it said before."""
    cells = json.loads(row.cells_mohm)
    how = f"{row.method}, {row.instrument}" if row.instrument else row.method
    return ReadingLine(
        id=row.id,
        at=Moment(row.at, row.offset_min),
        method=row.method,
        instrument=row.instrument,
        cells=[Measure(cell, "resistance", how) for cell in cells],
        stands_out=cells_that_stand_out(cells),
        fields=values(READING_FIELDS, row),
        listed=facts(READING_FIELDS, row),
        volts=" ".join(f"{volt:.2f}" for volt in json.loads(row.volts or "[]")),
        mended=list(mended),
    )


def cells_that_stand_out(cells_mohm: Sequence[float]) -> str:
    """`cell 2` or `cells 2, 3`: those at 1.5 times the middle of at least three, or more; '' if there is
    none."""
    if len(cells_mohm) < 3:
        return ""
    middle = median(cells_mohm)
    out = [str(number) for number, cell in enumerate(cells_mohm, start=1) if cell >= _STANDS_OUT * middle]
    return f"cell{'s' if len(out) > 1 else ''} {', '.join(out)}" if out else ""


def grouped(rows: Sequence[PackReading], mended: Mapping[int, Sequence[str]]) -> list[ReadingGroup]:
    """Readings apart by method and instrument, the group of the newest first; `mended` is what some said before."""
    groups: dict[tuple[str, str], list[ReadingLine]] = {}
    for row in rows:
        groups.setdefault((row.method, row.instrument.lower()), []).append(reading_line(row, mended.get(row.id, ())))
    return [ReadingGroup(lines[0].method, lines[0].instrument, lines) for lines in groups.values()]


def readings_sheet(
    pack: Pack,
    rows: Sequence[PackReading],
    now: Moment,
    page: int,
    limit: int,
    retire: str,
    mended: Mapping[int, Sequence[str]] = MappingProxyType({}),
) -> ReadingsSheet:
    """The readings; `rows` holds one more than `limit` if there is a further page. What stays the same
    from reading to reading is taken over from the last one."""
    begun = {"at": now.local_text()}
    if rows:
        begun |= {"method": rows[0].method, "instrument": rows[0].instrument}
    groups = grouped(rows[:limit], mended)
    flat = [line for group in groups for line in group.readings]
    return ReadingsSheet(pack_name(pack, retire), groups, flat, page, len(rows) > limit, begun)
