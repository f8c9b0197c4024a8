"""Records that fell on a day: a hull's best on so many cells, measured in one way, beaten by a later run."""

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.measures import Measure
from garage.records.store import Narrowing, best_of_hulls, combinations_of
from garage.records.ways import Way, way_of
from garage.runs.lines.flags import keeps_from_records
from garage.runs.lines.line import RunLine, all_flags, line_of
from garage.runs.lines.store import LineFacts
from garage.runs.tables import Run
from garage.units import DisplayUnits

# Hull, cells in series, and way of measuring: only within these are speeds set against each other.
_Key = tuple[int, int | None, Way]


@dataclass(frozen=True)
class BrokenRecord:
    """A run that beat what its hull had reached before on as many cells, measured in the same way."""

    run: RunLine
    way: str
    before: Measure


def broken_records(session: Session, runs: Sequence[Run], facts: LineFacts, units: DisplayUnits) -> list[BrokenRecord]:
    """Which runs of one outing, of which these `facts` were read, are records that fell. A first speed beats
    nothing."""
    best = _best_of_each(runs, facts)
    before = _best_before(session, list(best), min((run.started_at for run in runs), default=""))
    found = []
    for (_, _, way), run in best.items():
        fallen = before.get((run.hull_id, run.cells_s, way))
        if fallen is not None and run.speed_kmh is not None and run.speed_kmh > fallen:
            words = way.words(units)
            origin = f"her best before, on as many cells: {words[:1].lower()}{words[1:]}"
            found.append(BrokenRecord(line_of(run, facts), words, Measure(fallen, "speed", origin)))
    return sorted(found, key=lambda record: (record.run.hull, -(record.run.speed.value or 0)))


def _best_of_each(runs: Sequence[Run], facts: LineFacts) -> dict[_Key, Run]:
    best: dict[_Key, Run] = {}
    for run in runs:
        counts = run.speed_kmh and run.set_aside_at is None
        if not counts or any(keeps_from_records(flag.text) for flag in all_flags(run, facts) if not flag.said):
            continue
        key = (run.hull_id, run.cells_s, way_of(run.speed_how, run.averaging_s, run.ways, run.course_m))
        if key not in best or run.speed_kmh > (best[key].speed_kmh or 0):  # type: ignore[operator]
            best[key] = run
    return best


def _best_before(session: Session, asked: Collection[_Key], since: str) -> dict[_Key, float]:
    """What hulls had reached before on as many cells, measured in the same way."""
    known = combinations_of(session, {hull_id for hull_id, _, _ in asked})
    wanted = [(key, one) for key in asked for one in known[key[0]] if one.way == key[2]]
    earlier = Narrowing(
        ("run.started_at < :since", "run.cells_s IS :cells ->> asked.place"),
        {"since": since, "cells": json.dumps([cells for (_, cells, _), _ in wanted])},
    )
    before: dict[_Key, float] = {}
    best = best_of_hulls(session, [(key[0], one) for key, one in wanted], earlier, 1)
    for (key, _), fastest in zip(wanted, best, strict=True):
        if fastest:
            before[key] = max(before.get(key, 0.0), fastest[0][0])
    return before
