"""Queries of the best speeds, way by way. They walk an index in order of speed and stop in time."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import text
from sqlmodel import Session, func, select

from garage.db.in_ids import in_
from garage.hulls.tables import Hull
from garage.records.ways import HOW_ORDER, WAYS_ORDER, Way, way_of
from garage.runs.counting import SPOILED_SQL
from garage.runs.denied_store import DENIED_SQL
from garage.runs.tables import Run

# So many combinations of reading, ways, course and averaging are told apart; nobody races on more courses.
MOST_WAYS = 80

_PAIRS = ", ".join(f"('{how}', '{ways}')" for how in HOW_ORDER for ways in WAYS_ORDER)
# Each distinct way is found by one step down the index, not by a look at every run.
_WAYS_SQL = """
WITH RECURSIVE kind(how, ways) AS (VALUES {pairs}),
pair(hull_id, how, ways) AS (SELECT asked.value, kind.how, kind.ways FROM json_each(:hulls) AS asked, kind),
course(hull_id, how, ways, course_m) AS (
  SELECT hull_id, how, ways, (SELECT course_m FROM run WHERE {of_pair} AND speed_how = pair.how
    AND run.ways = pair.ways AND course_m > 0 ORDER BY course_m LIMIT 1) FROM pair
  UNION ALL
  SELECT hull_id, how, ways, (SELECT run.course_m FROM run WHERE {of_course} AND speed_how = course.how
    AND run.ways = course.ways AND run.course_m > course.course_m ORDER BY run.course_m LIMIT 1)
  FROM course WHERE course_m IS NOT NULL),
averaging(hull_id, how, ways, course_m, averaging_s) AS (
  SELECT hull_id, how, ways, course_m, (SELECT averaging_s FROM run WHERE {of_course} AND speed_how = course.how
    AND run.ways = course.ways AND run.course_m IS course.course_m AND averaging_s >= 0
    ORDER BY averaging_s LIMIT 1) FROM course
  UNION ALL
  SELECT hull_id, how, ways, course_m, (SELECT run.averaging_s FROM run WHERE {of_averaging}
    AND speed_how = averaging.how AND run.ways = averaging.ways AND run.course_m IS averaging.course_m
    AND run.averaging_s > averaging.averaging_s ORDER BY run.averaging_s LIMIT 1)
  FROM averaging WHERE averaging_s IS NOT NULL)
SELECT hull_id, how, ways, course_m, averaging_s FROM averaging
WHERE EXISTS (SELECT 1 FROM run WHERE {of_averaging} AND speed_how = averaging.how AND run.ways = averaging.ways
  AND run.course_m IS averaging.course_m AND run.averaging_s IS averaging.averaging_s AND speed_kmh > 0)
LIMIT {most}
"""
_BASE = "run.set_aside_at IS NULL"
_BASE_OF_HULL = "run.hull_id = {of}.hull_id AND run.set_aside_at IS NULL"
# Each way walks the index by itself and stops in time; all of them in one query.
_BEST_SQL = """
WITH asked(place, hull_id, how, ways, course_m, averaging_s) AS (VALUES {rows})
SELECT asked.place, best.speed_kmh, best.id FROM asked CROSS JOIN run AS best ON best.id IN (
  SELECT run.id FROM run
  WHERE {base} AND run.speed_how = asked.how AND run.ways = asked.ways AND run.course_m IS asked.course_m
    AND run.averaging_s IS asked.averaging_s AND run.speed_kmh > 0 {more} AND NOT {spoiled} AND NOT {denied}
  ORDER BY run.speed_kmh DESC LIMIT :limit)
ORDER BY asked.place, best.speed_kmh DESC
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
    if hull_id is None:
        return [one for _, one in _combinations(session, [None])]
    return combinations_of(session, [hull_id])[hull_id]


def combinations_of(session: Session, hull_ids: Iterable[int]) -> dict[int, list[Combination]]:
    """Every way in which the speeds of some hulls were measured, by hull."""
    found: dict[int, list[Combination]] = {hull_id: [] for hull_id in hull_ids}
    for hull_id, one in _combinations(session, sorted(found)):
        found[hull_id].append(one)
    return found


def _combinations(session: Session, hulls: Sequence[int | None]) -> Iterator[tuple[Any, Combination]]:
    base = _BASE if hulls == [None] else _BASE_OF_HULL
    of = {f"of_{table}": base.format(of=table) for table in ("pair", "course", "averaging")}
    query = text(_WAYS_SQL.format(pairs=_PAIRS, most=MOST_WAYS * len(hulls), **of))
    for hull_id, how, ways, course_m, averaging_s in session.execute(query, {"hulls": json.dumps(hulls)}):
        yield hull_id, Combination(way_of(how, averaging_s, ways, course_m), course_m, averaging_s)


def best_ids(
    session: Session, asked: Sequence[Combination], narrowing: Narrowing, limit: int
) -> list[list[tuple[float, int]]]:
    """For each combination speed in km/h and id of its fastest runs, fastest first.

    Runs set aside, and runs whose speed an incident spoiled or their log denies, do not count.
    """
    return best_of_hulls(session, [(narrowing.hull_id, one) for one in asked], narrowing, limit)


def best_of_hulls(
    session: Session, asked: Sequence[tuple[int | None, Combination]], narrowing: Narrowing, limit: int
) -> list[list[tuple[float, int]]]:
    """The same for combinations each of a hull of its own; all of them of a hull, or none."""
    found: list[list[tuple[float, int]]] = [[] for _ in asked]
    if not asked:
        return found
    more = "".join(f" AND {condition}" for condition in narrowing.conditions)
    base = _BASE if asked[0][0] is None else _BASE_OF_HULL.format(of="asked")
    rows = ", ".join(f"({place}, :hull{place}, :how{place}, :ways{place}, :course{place}, :averaging{place})"
                     for place in range(len(asked)))  # fmt: skip
    values = {**narrowing.values, "limit": limit}
    for place, (hull_id, one) in enumerate(asked):
        values |= {
            f"hull{place}": hull_id,
            f"how{place}": one.way.how,
            f"ways{place}": one.way.ways,
            f"course{place}": one.course_m,
            f"averaging{place}": one.averaging_s,
        }
    query = text(_BEST_SQL.format(rows=rows, base=base, more=more, spoiled=SPOILED_SQL, denied=DENIED_SQL))
    for place, speed, run_id in session.execute(query, values):
        found[place].append((speed, run_id))
    return found


def hulls_that_ran(session: Session, *, limit: int) -> list[Hull]:
    """The boats that ran last, latest first."""
    last = select(func.max(Run.started_at)).where(Run.hull_id == Hull.id).correlate(Hull).scalar_subquery()
    return list(session.exec(select(Hull).where(last.is_not(None)).order_by(last.desc()).limit(limit)))


def cells_of(session: Session, hull_ids: Iterable[int]) -> dict[int, list[int | None]]:
    """On how many cells some boats ran, None where it is not known."""
    found: dict[int, list[int | None]] = {}
    rows = session.exec(select(Run.hull_id, Run.cells_s).where(in_(Run.hull_id, hull_ids)).distinct())
    for hull_id, cells_s in rows:
        found.setdefault(hull_id, []).append(cells_s)
    return found


def runs_by_id(session: Session, ids: list[int]) -> list[Run]:
    """Some runs, in the order asked for."""
    found = {run.id: run for run in session.exec(select(Run).where(in_(Run.id, ids)))} if ids else {}
    return [found[run_id] for run_id in ids if run_id in found]
