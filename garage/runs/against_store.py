"""What a run's speed is told against: the best of that boat that may stand beside it, and the run before."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import text
from sqlmodel import Session

from garage.measures import Measure
from garage.runs.counting import COUNTS, SPOILED_SQL
from garage.runs.denied_store import DENIED_SQL
from garage.runs.tables import Run

# Read in the same way over the same course, and on as many cells: others are never told against each other.
_ALIKE = """run.hull_id = this.hull_id AND run.speed_how = this.speed_how AND run.ways = this.ways
    AND run.course_m IS this.course_m AND run.averaging_s IS this.averaging_s AND run.cells_s IS this.cells_s
    AND run.speed_kmh > 0"""
_SOUND = f"run.set_aside_at IS NULL AND NOT {SPOILED_SQL} AND NOT {DENIED_SQL}"
_AGAINST = text(f"""
SELECT this.id, this.speed_kmh, best.id, best.speed_kmh, before.id, before.speed_kmh
FROM json_each(:ids) AS asked CROSS JOIN run AS this ON this.id = (
    SELECT run.id FROM run WHERE run.id = asked.value AND run.speed_kmh > 0 AND run.speed_how <> '' AND {_SOUND})
LEFT JOIN run AS best ON best.id = (
    SELECT run.id FROM run WHERE {_SOUND} AND {_ALIKE} AND run.id <> this.id ORDER BY run.speed_kmh DESC LIMIT 1)
LEFT JOIN run AS before ON before.id = (
    SELECT run.id FROM run WHERE run.id = (
        SELECT run.id FROM run WHERE {COUNTS} AND run.hull_id = this.hull_id AND run.started_at < this.started_at
        ORDER BY run.started_at DESC LIMIT 1) AND {_ALIKE})
""")


@dataclass(frozen=True)
class Against:
    """How far a speed lies from the best of the others that may be told against it, and from the run before, if that
    is one of them."""

    best_id: int | None
    best: Measure
    over_best: Measure
    before_id: int | None
    before: Measure
    over_before: Measure


def against(session: Session, run: Run) -> Against | None:
    """What the speed of `run` is told against; None without a speed that counts (an incident
    may have spoiled it, or its log deny it) or a way that is known."""
    return against_of(session, [run.id]).get(run.id)


def against_of(session: Session, run_ids: Iterable[int]) -> dict[int, Against]:
    """The same for several, by run; those that are told against nothing are left out."""
    asked = sorted(run_ids)
    rows: Iterable[Any] = session.execute(_AGAINST, {"ids": json.dumps(asked)}) if asked else []
    return {
        run_id: Against(
            best_id,
            Measure(best, "speed", "the speed of that run"),
            Measure(_over(speed, best), "speed", "computed: the one less the other"),
            before_id,
            Measure(before, "speed", "the speed of that run"),
            Measure(_over(speed, before), "speed", "computed: the one less the other"),
        )
        for run_id, speed, best_id, best, before_id, before in rows
    }


def _over(speed_kmh: float, other_kmh: float | None) -> float | None:
    return None if other_kmh is None else speed_kmh - other_kmh
