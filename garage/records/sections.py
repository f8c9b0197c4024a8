"""Records put together: per way of measuring its fastest runs, and never two ways in one list."""

from collections import defaultdict
from dataclasses import dataclass

from sqlmodel import Session

from garage.records.forms import NOT_WRITTEN, Filters
from garage.records.store import Combination, Narrowing, best_ids, combinations, runs_by_id
from garage.records.ways import Way, course_to_cm
from garage.runs.lines import RunLine, run_lines


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


def sections(
    session: Session, filters: Filters, narrowing: Narrowing, *, limit: int, offset: int = 0
) -> list[Section]:
    """The sections of records, best known way first. Empty ones are left out."""
    by_way: dict[Way, list[tuple[float, int]]] = defaultdict(list)
    wanted = wanted_ways(combinations(session, narrowing.hull_id), filters)
    # Averaging times within a way are ranked together, so each has to bring as many as the page may show.
    for one, fastest in zip(wanted, best_ids(session, wanted, narrowing, offset + limit + 1), strict=True):
        by_way[one.way] += fastest
    ranked = {}
    for way, found in by_way.items():
        ranked[way] = sorted(found, key=lambda pair: (-pair[0], pair[1]))[offset : offset + limit + 1]
    ids = [run_id for found in ranked.values() for _, run_id in found[:limit]]
    lines = {line.id: line for line in run_lines(session, runs_by_id(session, ids))}
    return [
        Section(way, [lines[run_id] for _, run_id in ranked[way][:limit]], len(ranked[way]) > limit)
        for way in sorted(ranked, key=lambda way: way.trust)
        if ranked[way]
    ]
