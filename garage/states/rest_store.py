"""What rests on build states.

Runs are kept on a floor above, which this room does not know. All it needs of them is whether any rests on a
state, and up to when; the tables stand in one file, so that is asked by the table's name.
"""

from sqlalchemy import text
from sqlmodel import Session


def is_rested_on(session: Session, state_id: int) -> bool:
    """Whether a run rests on the state itself."""
    found = session.connection().execute(
        text("SELECT 1 FROM run WHERE state_id = :state_id LIMIT 1"), {"state_id": state_id}
    )
    return found.first() is not None


def is_frozen(session: Session, hull_id: int, number: int) -> bool:
    """Whether a run rests on the hull's state of this number or on a later one: what the triggers go by."""
    found = session.connection().execute(
        text(
            "SELECT 1 FROM build_state AS later JOIN run ON run.state_id = later.id"
            " WHERE later.hull_id = :hull_id AND later.number >= :number LIMIT 1"
        ),
        {"hull_id": hull_id, "number": number},
    )
    return found.first() is not None


def last_run_utc(session: Session, hull_id: int) -> str:
    """When the hull's latest run started, in UTC; '' if it has none."""
    found = session.connection().execute(
        text("SELECT started_at FROM run WHERE hull_id = :hull_id ORDER BY started_at DESC LIMIT 1"),
        {"hull_id": hull_id},
    )
    return found.scalar() or ""
