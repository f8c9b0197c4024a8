"""Hulls to choose from."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.hulls.tables import Hull
from garage.shelf.lending import named_lent
from garage.shelf.loan_store import open_loans


def offered(session: Session, found: Sequence[Hull]) -> list[tuple[str, str]]:
    """Hulls as a choice names them, each with the word on one that is lent: its number as text, and its name."""
    lent = open_loans(session, "hull", [hull.id for hull in found])
    return [(str(hull.id), named_lent(hull.name, lent.get(hull.id))) for hull in found]
