"""Queries of the best speeds, way by way. They walk an index in order of speed and stop in time."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import text
from sqlmodel import Session, select

from garage.db.in_ids import in_
from garage.records.ways import HOW_ORDER, WAYS_ORDER, Way, way_of
from garage.runs.denied_store import DENIED_SQL
from garage.runs.tables import Run

# So many combinations of reading, ways, course and averaging are told apart; nobody races on more courses.
MOST_WAYS = 80

_PAIRS = ", ".join(f"('{how}', '{ways}')" for how in HOW_ORDER for ways in WAYS_ORDER)
# Each distinct way is found by one step down the index, not by a look at every run.
_WAYS_SQL = """
WITH RECURSIVE pair(how, ways) AS (VALUES {pairs}),
course(how, ways, course_m) AS (
  SELECT how, ways, (SELECT course_m FROM run WHERE {base} AND speed_how = pair.how AND run.ways = pair.ways
    AND course_m > 0 ORDER BY course_m LIMIT 1) FROM pair
  UNION ALL
  SELECT how, ways, (SELECT run.course_m FROM run WHERE {base} AND speed_how = course.how
    AND run.ways = course.ways AND run.course_m > course.course_m ORDER BY run.course_m LIMIT 1)
  FROM course WHERE course_m IS NOT NULL),
averaging(how, ways, course_m, averaging_s) AS (
  SELECT how, ways, course_m, (SELECT averaging_s FROM run WHERE {base} AND speed_how = course.how
    AND run.ways = course.ways AND run.course_m IS course.course_m AND averaging_s >= 0
    ORDER BY averaging_s LIMIT 1) FROM course
  UNION ALL
  SELECT how, ways, course_m, (SELECT run.averaging_s FROM run WHERE {base} AND speed_how = averaging.how
    AND run.ways = averaging.ways AND run.course_m IS averaging.course_m
    AND run.averaging_s > averaging.averaging_s ORDER BY run.averaging_s LIMIT 1)
  FROM averaging WHERE averaging_s IS NOT NULL)
SELECT how, ways, course_m, averaging_s FROM averaging
WHERE EXISTS (SELECT 1 FROM run WHERE {base} AND speed_how = averaging.how AND run.ways = averaging.ways
  AND run.course_m IS averaging.course_m AND run.averaging_s IS averaging.averaging_s AND speed_kmh > 0)
LIMIT {most}
"""
_BASE = "set_aside_at IS NULL"
_BASE_OF_HULL = "hull_id = :hull_id AND set_aside_at IS NULL"
_SPOILED = (
    "EXISTS (SELECT 1 FROM incident WHERE incident.run_id = run.id AND incident.spoiled_speed = 1"
    " AND incident.set_aside_at IS NULL)"
)
_BEST_SQL = """
SELECT run.id, run.speed_kmh FROM run
WHERE {base} AND speed_how = :how AND ways = :ways AND course_m IS :course_m AND averaging_s IS :averaging_s
  AND speed_kmh > 0 {more} AND NOT {spoiled} AND NOT {denied}
ORDER BY speed_kmh DESC LIMIT :limit
"""


@dataclass(frozen=True)
class Narrowing:
    """Conditions on runs: SQL over the table `run`, its values, and the one hull if there is only one."""

    conditions: tuple[str, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict)
    hull_id: int | None = None


@dataclass(frozen=True)
class Combination:
    """A way of measuring with the exact course and averaging time that the index knows."""

    way: Way
    course_m: float | None
    averaging_s: float | None


def combinations(session: Session, hull_id: int | None = None) -> list[Combination]:
    """Every way in which speeds were measured, of all hulls or of one."""
    base = _BASE if hull_id is None else _BASE_OF_HULL
    query = text(_WAYS_SQL.format(pairs=_PAIRS, base=base, most=MOST_WAYS))
    values = {} if hull_id is None else {"hull_id": hull_id}
    return [
        Combination(way_of(how, averaging_s, ways, course_m), course_m, averaging_s)
        for how, ways, course_m, averaging_s in session.execute(query, values)
    ]


def best_ids(
    session: Session, combination: Combination, narrowing: Narrowing, limit: int
) -> list[tuple[float, int]]:
    """Speed in km/h and id of the fastest runs measured in one way, fastest first.

    Runs set aside, and runs whose speed an incident spoiled or their log denies, do not count.
    """
    one_hull = narrowing.hull_id is not None
    more = "".join(f" AND {condition}" for condition in narrowing.conditions)
    base = _BASE_OF_HULL if one_hull else _BASE
    query = text(_BEST_SQL.format(base=base, more=more, spoiled=_SPOILED, denied=DENIED_SQL))
    values = {
        **narrowing.values,
        "how": combination.way.how,
        "ways": combination.way.ways,
        "course_m": combination.course_m,
        "averaging_s": combination.averaging_s,
        "limit": limit,
    }
    if one_hull:
        values["hull_id"] = narrowing.hull_id
    return [(speed, run_id) for run_id, speed in session.execute(query, values)]


def runs_by_id(session: Session, ids: list[int]) -> list[Run]:
    """Some runs, in the order asked for."""
    found = {run.id: run for run in session.exec(select(Run).where(in_(Run.id, ids)))}
    return [found[run_id] for run_id in ids if run_id in found]
