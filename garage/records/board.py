"""The board of records: the best of each boat on as many cells, one figure for each way of measuring."""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from garage.hulls.tables import Hull
from garage.records.store import Narrowing, best_of_hulls, cells_of, combinations_of, hulls_that_ran
from garage.records.ways import Way
from garage.runs.lines.line import RunLine
from garage.units import DisplayUnits

# So many boats stand on the board, those that ran last; the lists below have all.
_MOST_BOATS = 12
# A figure of fewer days is shown as new.
_NEW_DAYS = 30


@dataclass(frozen=True)
class BoardCell:
    """The best of a boat in one way of measuring; `age` is how long it has stood, `is_new` if that is not long."""

    way: str
    run: RunLine
    age: str
    is_new: bool


@dataclass(frozen=True)
class BoardRow:
    """One boat on as many cells, the best known way first."""

    hull_id: int
    hull: str
    kind: str
    cells_s: int | None
    cells: list[BoardCell]


@dataclass(frozen=True)
class Board:
    """The best runs by id, for each boat, cells and way; and the boats."""

    best: Mapping[tuple[int, int | None], Mapping[Way, int]]
    hulls: Mapping[int, Hull]

    @property
    def run_ids(self) -> list[int]:
        """All of the runs."""
        return [run_id for ways in self.best.values() for run_id in ways.values()]

    def rows(self, lines: Mapping[int, RunLine], today: str, units: DisplayUnits) -> list[BoardRow]:
        """The rows as they are shown, that with the fastest figure first."""
        rows = [
            BoardRow(
                hull_id,
                self.hulls[hull_id].name,
                self.hulls[hull_id].kind,
                cells_s,
                [
                    _cell(way, lines[run_id], today, units)
                    for way, run_id in sorted(ways.items(), key=lambda one: one[0].trust)
                ],
            )
            for (hull_id, cells_s), ways in self.best.items()
        ]
        return sorted(rows, key=lambda row: -max(cell.run.speed.value or 0 for cell in row.cells))


def board(session: Session) -> Board:
    """The best of the boats that ran last."""
    return board_of(session, hulls_that_ran(session, limit=_MOST_BOATS))


def board_of(session: Session, boats: Iterable[Hull]) -> Board:
    """The best of some boats."""
    hulls = {hull.id: hull for hull in boats}
    known, cells = combinations_of(session, hulls), cells_of(session, hulls)
    asked = [(hull_id, one, count) for hull_id in hulls for count in cells.get(hull_id, ()) for one in known[hull_id]]
    on_cells = Narrowing(
        ("run.cells_s IS :cells ->> asked.place",), {"cells": json.dumps([count for _, _, count in asked])}
    )
    found: dict[tuple[int, int | None], dict[Way, tuple[float, int]]] = defaultdict(dict)
    best = best_of_hulls(session, [(hull_id, one) for hull_id, one, _ in asked], on_cells, 1)
    for (hull_id, one, count), fastest in zip(asked, best, strict=True):
        ways = found[hull_id, count] if fastest else {}
        if fastest and fastest[0] > ways.get(one.way, (0.0, 0)):
            ways[one.way] = fastest[0]
    return Board({key: {way: run_id for way, (_, run_id) in ways.items()} for key, ways in found.items()}, hulls)


def age_words(days: int) -> str:
    """How long something has stood, in the largest unit of which there are at least two: `13 days`, `3 weeks`."""
    for unit, length in (("year", 365.25), ("month", 30.44), ("week", 7)):
        if days >= 2 * length:
            return f"{int(days / length)} {unit}s"
    return "today" if days <= 0 else "1 day" if days == 1 else f"{days} days"


def fastest(lines: Sequence[RunLine]) -> RunLine | None:
    """The fastest of some runs, whichever way it was read."""
    return max(lines, key=lambda line: line.speed.value or 0, default=None)


def _cell(way: Way, line: RunLine, today: str, units: DisplayUnits) -> BoardCell:
    days = (date.fromisoformat(today) - date.fromisoformat(line.started.date())).days
    return BoardCell(way.words(units), line, age_words(days), days <= _NEW_DAYS)
