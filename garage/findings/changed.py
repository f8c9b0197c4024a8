"""What other pages tell of findings: verdicts that changed, for Home, and what was decided, for a hull's page."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.findings import store
from garage.findings.judge import title
from garage.hulls.store import hull_names
from garage.moments import Moment


@dataclass(frozen=True)
class ChangedFinding:
    """A finding whose verdict is another than before."""

    id: int
    hull: str
    title: str
    verdict: str
    before: str


def changed_findings(session: Session, most: int) -> list[ChangedFinding]:
    """The latest verdicts that changed and were not marked as seen."""
    rows = store.unnoticed_changes(session, limit=most)
    names = hull_names(session, {asked.hull_id for _, asked in rows})
    return [
        ChangedFinding(
            asked.id or 0, names[asked.hull_id], title(session, asked), result.verdict, result.verdict_before
        )
        for result, asked in rows
    ]


@dataclass(frozen=True)
class Decided:
    """What the person decided about something, with the figures as they stood."""

    finding_id: int
    at: Moment
    title: str
    kind: str
    reason: str
    verdict: str
    numbers: str


def decided_on_hull(session: Session, hull_id: int, most: int) -> list[Decided]:
    """The latest decisions about a hull."""
    asked = {each.id: each for each in store.findings_of(session, hull_id)}
    rows = store.decisions_of(session, [key for key in asked if key is not None])[:most]
    return [
        Decided(
            row.finding_id,
            store.decided_on(row),
            title(session, asked[row.finding_id]),
            row.kind,
            row.reason,
            row.verdict,
            row.numbers,
        )
        for row in rows
    ]
