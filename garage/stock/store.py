"""Queries and writes of supplies."""

from sqlmodel import Session, col, select

from garage.db.codes import next_code
from garage.db.taken import refuse_taken
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.stock.tables import Supply

CODE_PREFIX = "SU"


def supply(session: Session, supply_id: int) -> Supply:
    """One supply. Raises NotFound."""
    found = session.get(Supply, supply_id)
    if found is None:
        raise NotFound("There is no such supply in this notebook.")
    return found


def supplies(session: Session, *, retired: bool = False, limit: int = 50, offset: int = 0) -> list[Supply]:
    """Supplies in use, or those no longer bought, by name."""
    kept = Supply.retired_on != "" if retired else Supply.retired_on == ""
    query = select(Supply).where(kept).order_by(Supply.name, col(Supply.id))
    return list(session.exec(query.limit(limit).offset(offset)))


def suggested_code(session: Session) -> str:
    """The next free code."""
    return next_code(session, col(Supply.code), CODE_PREFIX)  # type: ignore[arg-type]


def add_supply(session: Session, form: FormData, at: Moment) -> Supply:
    """Write down a supply. Raises Conflict if its code is taken."""
    _refuse_taken_code(session, form["code"])
    new = Supply(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    return new


def change_supply(session: Session, supply_id: int, form: FormData) -> Supply:
    """Write a supply's facts anew. Raises NotFound, Conflict."""
    kept = supply(session, supply_id)
    _refuse_taken_code(session, form["code"], other_than=supply_id)
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    return kept


def retire_supply(session: Session, supply_id: int, on: str) -> Supply:
    """Take a supply off the shelf page; '' for `on` brings it back. Raises NotFound."""
    kept = supply(session, supply_id)
    kept.retired_on = on
    session.add(kept)
    return kept


def _refuse_taken_code(session: Session, code: str, other_than: int | None = None) -> None:
    refuse_taken(
        session,
        Supply,
        "code",
        code,
        lambda supply: f"The code {supply.code} is taken: {supply.name}.",
        other_than=other_than,
    )
