"""Hulls to choose from."""

from sqlmodel import Session, col, select

from garage.hulls.kinds import HULLS
from garage.hulls.tables import Hull
from garage.inventory.store import in_order, is_kept
from garage.shelf.lending import named_lent
from garage.shelf.loan_store import has_it
from garage.shelf.tables import Loan


def offered(session: Session, *, limit: int) -> list[tuple[Hull, str]]:
    """The hulls in use, each as a choice names it: with the word on one that is lent."""
    in_use = select(Hull, Loan).outerjoin(Loan, has_it("hull", col(Hull.id))).where(is_kept(HULLS))
    rows = session.exec(in_use.order_by(*in_order(HULLS)).limit(limit))
    return [(hull, named_lent(hull.name, loan)) for hull, loan in rows]
