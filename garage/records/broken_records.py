"""Records that fell on a day: a hull's best on so many cells, measured in one way, beaten by a later run."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.measures import Measure
from garage.records.store import Combination, Narrowing, best_ids, combinations
from garage.records.ways import Way, way_of
from garage.runs.flags import keeps_from_records
from garage.runs.lines import RunLine
from garage.runs.tables import Run
from garage.units import DisplayUnits


@dataclass(frozen=True)
class BrokenRecord:
    """A run that beat what its hull had reached before on as many cells, measured in the same way."""

    run: RunLine
    way: str
    before: Measure


def broken_records(
    session: Session, runs: Sequence[Run], lines: Sequence[RunLine], units: DisplayUnits
) -> list[BrokenRecord]:
    """Which runs of one outing, with their lines, are records that fell. A first speed beats nothing."""
    spoken = {line.id: line for line in lines}
    known = {hull_id: combinations(session, hull_id) for hull_id in {run.hull_id for run in runs}}
    since = min((run.started_at for run in runs), default="")
    found = []
    for (hull_id, cells, way), best in _best_of_each(runs, spoken).items():
        before = _best_before(session, known[hull_id], way, hull_id, cells, since)
        if before is not None and best.speed_kmh is not None and best.speed_kmh > before:
            words = way.words(units)
            origin = f"her best before, on as many cells: {words[:1].lower()}{words[1:]}"
            found.append(BrokenRecord(spoken[best.id], words, Measure(before, "speed", origin)))
    return sorted(found, key=lambda record: (record.run.hull, -(record.run.speed.value or 0)))


def _best_of_each(runs: Sequence[Run], lines: dict[int, RunLine]) -> dict[tuple[int, int | None, Way], Run]:
    best: dict[tuple[int, int | None, Way], Run] = {}
    for run in runs:
        counts = run.speed_kmh and run.set_aside_at is None and run.id in lines
        if not counts or any(keeps_from_records(flag) for flag in lines[run.id].flags):
            continue
        key = (run.hull_id, run.cells_s, way_of(run.speed_how, run.averaging_s, run.ways, run.course_m))
        if key not in best or run.speed_kmh > (best[key].speed_kmh or 0):  # type: ignore[operator]
            best[key] = run
    return best


def _best_before(
    session: Session, known: list[Combination], way: Way, hull_id: int, cells: int | None, since: str
) -> float | None:
    earlier = Narrowing(
        ("run.started_at < :since", "run.cells_s IS :cells"), {"since": since, "cells": cells}, hull_id
    )
    speeds = [best_ids(session, one, earlier, 1) for one in known if one.way == way]
    return max((found[0][0] for found in speeds if found), default=None)
