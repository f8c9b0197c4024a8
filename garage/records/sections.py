"""Records put together: per way of measuring its fastest runs, and never two ways in one list."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from sqlmodel import Session

from garage.records.board import Board, BoardRow, board
from garage.records.forms import NOT_WRITTEN, Filters
from garage.records.store import Combination, Narrowing, best_ids, combinations, runs_by_id
from garage.records.ways import Way, course_to_cm
from garage.runs.lines.line import RunLine, run_lines
from garage.runs.tables import Run
from garage.units import DisplayUnits


@dataclass(frozen=True)
class Section:
    """The fastest runs of one way of measuring, fastest first; `more` if there are further ones."""

    way: Way
    lines: list[RunLine]
    more: bool


def wanted_ways(known: list[Combination], filters: Filters) -> list[Combination]:
    """Those combinations that the filters on the way of measuring leave."""

    def fits(asked: str, value: str) -> bool:
        return not asked or value == ("" if asked == NOT_WRITTEN else asked)

    return [
        one
        for one in known
        if fits(filters.how, one.way.how)
        and one.way.is_known_by(filters.at_least)
        and fits(filters.ways, one.way.ways)
        and fits(filters.averaging, one.way.averaging)
        and (filters.course_m is None or one.way.course_m == course_to_cm(filters.course_m))
        and not (filters.no_course and one.way.course_m)
    ]


@dataclass(frozen=True)
class Ranking:
    """The fastest runs of each way by id, fastest first, one more than is shown; and all the runs shown."""

    by_way: dict[Way, list[int]]
    runs: list[Run]
    limit: int

    def sections(self, lines: Mapping[int, RunLine]) -> list[Section]:
        """The sections of the lines of the runs: that with the fastest figure first, whatever is known of its way."""
        found = [
            Section(way, [lines[run_id] for run_id in ids[: self.limit]], len(ids) > self.limit)
            for way, ids in sorted(self.by_way.items(), key=lambda item: item[0].trust)
        ]
        return sorted(found, key=lambda one: -max((line.speed.value or 0 for line in one.lines), default=0))


def sections(session: Session, filters: Filters, narrowing: Narrowing, *, limit: int, offset: int = 0) -> list[Section]:
    """The sections of records, that with the fastest figure first. Empty ones are left out."""
    found = ranking(session, filters, narrowing, limit=limit, offset=offset)
    return found.sections({line.id: line for line in run_lines(session, found.runs)})


def sections_and_board(
    session: Session,
    filters: Filters,
    narrowing: Narrowing,
    units: DisplayUnits,
    today: str,
    *,
    limit: int,
    offset: int,
    is_whole: bool,
) -> tuple[list[Section], list[BoardRow]]:
    """The sections, and above all of them (`is_whole`, without a filter) the board; the runs of both are read once."""
    ranked = ranking(session, filters, narrowing, limit=limit, offset=offset)
    best = board(session) if is_whole and not filters.any else Board({}, {})
    more = set(best.run_ids) - {run.id for run in ranked.runs}
    runs = [*ranked.runs, *runs_by_id(session, sorted(more))]
    lines = {line.id: line for line in run_lines(session, runs)}
    return ranked.sections(lines), best.rows(lines, today, units)


def ranking(session: Session, filters: Filters, narrowing: Narrowing, *, limit: int, offset: int = 0) -> Ranking:
    """The fastest runs, way by way. Ways without any are left out."""
    by_way: dict[Way, list[tuple[float, int]]] = defaultdict(list)
    wanted = wanted_ways(combinations(session, narrowing.hull_id), filters)
    # Averaging times within a way are ranked together, so each has to bring as many as the page may show.
    for one, fastest in zip(wanted, best_ids(session, wanted, narrowing, offset + limit + 1), strict=True):
        by_way[one.way] += fastest
    ranked = {
        way: [run_id for _, run_id in sorted(found, key=lambda pair: (-pair[0], pair[1]))[offset : offset + limit + 1]]
        for way, found in by_way.items()
    }
    shown = [run_id for found in ranked.values() for run_id in found[:limit]]
    return Ranking({way: found for way, found in ranked.items() if found}, runs_by_id(session, shown), limit)
