"""Queries and writes of loans: who has a thing, and who had it."""

from collections.abc import Iterable
from typing import Any

from sqlalchemy import and_
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.errors import Conflict, NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.shelf.tables import LENDABLE, Loan
from garage.things import Thing, Things


def lendable_thing(session: Session, things: Things, owner: str, owner_id: int) -> Thing:
    """The thing that may be lent. Raises NotFound."""
    if owner not in LENDABLE:
        raise NotFound("Nothing of that kind is lent.")
    return things.thing(session, owner, owner_id)


def loan(session: Session, loan_id: int) -> Loan:
    """One loan. Raises NotFound."""
    found = session.get(Loan, loan_id)
    if found is None:
        raise NotFound("There is no such loan in this notebook.")
    return found


def loans_of(session: Session, owner: str, owner_id: int) -> list[Loan]:
    """All loans of a thing, an open one first, then the latest."""
    return in_order(session.exec(_counted().where(Loan.owner == owner, Loan.owner_id == owner_id)))


def in_order(loans: Iterable[Loan]) -> list[Loan]:
    """Loans of one thing: an open one first, then the latest."""
    return sorted(loans, key=lambda one: (not one.back_on, one.back_on, one.lent_on, one.id), reverse=True)


def open_loans(session: Session, owner: str, ids: Iterable[int]) -> dict[int, Loan]:
    """The open loans of some things of one kind, by their ids."""
    away = select(Loan).where(has_it(owner, col(Loan.owner_id)), in_(col(Loan.owner_id), ids))
    return {one.owner_id: one for one in session.exec(away)}


def has_it(owner: str, thing_id: Any) -> Any:
    """The condition that joins to a thing of kind `owner` the loan by which somebody has it now, if there is one."""
    return and_(
        col(Loan.owner) == owner,
        col(Loan.owner_id) == thing_id,
        col(Loan.back_on) == "",
        col(Loan.set_aside_at).is_(None),
    )


def lend(session: Session, thing: Thing, form: FormData, at: Moment) -> Loan:
    """Lend a thing, or write anew to whom and until when it is lent. Raises Conflict if it is out of use."""
    if thing.is_aside:
        raise Conflict(f"{thing.name} is out of use: bring it back into use before it is lent.")
    kept = _open_loan(session, thing.owner, thing.id)
    kept = kept or Loan(owner=thing.owner, owner_id=thing.id, created_at=at.utc, lent_to="")
    return _write(session, kept, form)


def bring_back(session: Session, thing: Thing, day: str) -> Loan:
    """Note that a thing came back on `day`. Raises Conflict if nobody has it."""
    kept = _open_loan(session, thing.owner, thing.id)
    if kept is None:
        raise Conflict(f"{thing.name} is lent to nobody.")
    return _write(session, kept, {"back_on": day})


def change_loan(session: Session, loan_id: int, form: FormData) -> Loan:
    """Put a loan right. Raises NotFound, and Conflict if it would be a second open one of its thing."""
    kept = loan(session, loan_id)
    if not form["back_on"]:
        _refuse_second(session, kept)
    return _write(session, kept, form)


def set_aside_loan(session: Session, loan_id: int, at: str | None) -> Loan:
    """Say that a loan never was, or bring it back with `at` None. Raises NotFound, Conflict."""
    kept = loan(session, loan_id)
    if at is None and not kept.back_on:
        _refuse_second(session, kept)
    return _write(session, kept, {"set_aside_at": at})


def _counted() -> Any:
    return select(Loan).where(col(Loan.set_aside_at).is_(None))


def _open_loan(session: Session, owner: str, owner_id: int) -> Loan | None:
    return open_loans(session, owner, [owner_id]).get(owner_id)


def _refuse_second(session: Session, kept: Loan) -> None:
    other = _open_loan(session, kept.owner, kept.owner_id)
    if other is not None and other.id != kept.id:
        raise Conflict(f"It is lent to {other.lent_to} already: only one can have it at a time.")


def _write(session: Session, kept: Loan, form: FormData) -> Loan:
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    session.flush()
    return kept
