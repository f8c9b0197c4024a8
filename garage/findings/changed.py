"""Verdicts that changed when an outing was closed, for Home to tell."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.findings import store
from garage.findings.judge import title
from garage.hulls.store import hull_names


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
