"""What happened to a hull, newest first: found a stretch at a time, never the whole history."""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.runs.tables import Run
from garage.services.tables import Service

LATER_THAN_ALL = "9999"
# So many runs of one hull are looked through for its outings; more on one stretch of a page there cannot be.
_MOST_RUNS = 800
# Things written down for the same second, at the edge between two pages.
_TIES = 20

_DECISIONS = """
SELECT finding_decision.id, finding_decision.at FROM finding
JOIN finding_decision ON finding_decision.finding_id = finding.id
WHERE finding.hull_id = :hull_id AND finding_decision.at <= :before AND finding_decision.set_aside_at IS NULL
ORDER BY finding_decision.at DESC, finding_decision.id DESC LIMIT :most
"""
_OUTINGS = """
SELECT latest.outing_id, max(latest.started_at) FROM (
    SELECT outing_id, started_at FROM run WHERE hull_id = :hull_id AND started_at <= :before
    ORDER BY started_at DESC LIMIT :runs) AS latest
JOIN outing ON outing.id = latest.outing_id AND outing.set_aside_at IS NULL
WHERE NOT EXISTS (SELECT 1 FROM run AS later WHERE later.outing_id = latest.outing_id
    AND later.hull_id = :hull_id AND later.started_at > :before)
GROUP BY latest.outing_id ORDER BY 2 DESC LIMIT :most
"""
_SERVICES = """
SELECT id, at FROM service WHERE hull_id = :hull_id AND at <= :before AND set_aside_at IS NULL
ORDER BY at DESC, id DESC LIMIT :most
"""
_STATES = """
SELECT id, made_at FROM build_state WHERE hull_id = :hull_id AND made_at <= :before
AND NOT EXISTS (SELECT 1 FROM supersession WHERE old_state_id = build_state.id)
ORDER BY made_at DESC, number DESC LIMIT :most
"""
_PLANS = """
SELECT id, created_at FROM modification WHERE hull_id = :hull_id AND created_at <= :before
ORDER BY created_at DESC, id DESC LIMIT :most
"""
# In the order in which things of the same second stand, the latest first.
_SOURCES = (
    ("decision", _DECISIONS),
    ("outing", _OUTINGS),
    ("service", _SERVICES),
    ("state", _STATES),
    ("plan", _PLANS),
)
_MARKS = text(
    " UNION ALL ".join(
        f"SELECT *, {len(_SOURCES) - 1 - place} FROM ({query})" for place, (_, query) in enumerate(_SOURCES)
    )
)


@dataclass(frozen=True, order=True)
class Mark:
    """One thing in a hull's history: when, which kind (higher is later within a second), which."""

    utc: str
    rank: int
    id: int

    @property
    def kind(self) -> str:
        """decision, outing, service, state or plan."""
        return _SOURCES[-1 - self.rank][0]

    @property
    def text(self) -> str:
        """As it stands in the address of the page that begins after it."""
        return f"{self.utc}~{self.rank}~{self.id}"


def read_mark(typed: str) -> Mark | None:
    """A mark from an address; None for anything else."""
    utc, _, rest = typed.partition("~")
    rank, _, number = rest.partition("~")
    whole = rank.isascii() and number.isascii() and rank.isdigit() and number.isdigit()
    if not whole or len(rank) > 2 or len(number) > 15 or len(utc) != 20 or not utc.isascii():
        return None
    return Mark(utc, int(rank), int(number))


def marks(session: Session, hull_id: int, before: Mark | None, limit: int) -> list[Mark]:
    """The latest things of a hull's history that come before a mark, at most `limit`."""
    values: dict[str, Any] = {
        "hull_id": hull_id,
        "before": before.utc if before else LATER_THAN_ALL,
        "most": limit + _TIES,
        "runs": _MOST_RUNS,
    }
    found = [Mark(utc, rank, thing_id) for thing_id, utc, rank in session.execute(_MARKS, values)]
    return sorted((mark for mark in found if before is None or mark < before), reverse=True)[:limit]


def runs_of_outings(session: Session, hull_id: int, outing_ids: list[int], *, limit: int) -> list[Run]:
    """The runs of a hull on some outings, in their order."""
    query = select(Run).where(in_(Run.outing_id, outing_ids), Run.hull_id == hull_id)
    return list(session.exec(query.order_by(col(Run.started_at), col(Run.id)).limit(limit)))


def services_by_id(session: Session, ids: list[int]) -> dict[int, Service]:
    """Some services."""
    return {row.id: row for row in session.exec(select(Service).where(in_(Service.id, ids))) if row.id}
