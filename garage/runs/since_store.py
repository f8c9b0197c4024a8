"""How much a hull ran between two moments."""

import json
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session

# More runs than this since a service say no more than "overdue"; counting stops there.
MOST_COUNTED = 500

# The plus sign: see `runs.counting`.
_SINCE = text("""
    SELECT asked.value ->> 0, asked.value ->> 1, (
        SELECT json_array(count(*), sum(counted.duration_s), count(counted.duration_s)) FROM (
            SELECT duration_s FROM run
            WHERE hull_id = asked.value ->> 0 AND started_at >= asked.value ->> 1 AND started_at < :before
                  AND +set_aside_at IS NULL
            ORDER BY started_at DESC LIMIT :most) AS counted
    )
    FROM json_each(:asked) AS asked
""")


@dataclass(frozen=True)
class RunsSince:
    """Runs that count, the minutes written for them, and how many of them have no duration."""

    runs: int
    minutes: float
    untimed: int
    is_cut: bool = False


def runs_since(session: Session, asked: Iterable[tuple[int, str]], before_utc: str) -> dict[tuple[int, str], RunsSince]:
    """The runs that began before a moment, for any pairs of hull and the moment to count from, in one query."""
    pairs = json.dumps([list(one) for one in set(asked)])
    rows = session.execute(_SINCE, {"asked": pairs, "before": before_utc, "most": MOST_COUNTED})
    found = {}
    for hull_id, since, counted in rows:
        runs, seconds, timed = json.loads(counted)
        found[hull_id, since] = RunsSince(runs, (seconds or 0) / 60, runs - timed, runs >= MOST_COUNTED)
    return found
