"""Writes of sets of packs."""

from sqlmodel import Session, col, select

from garage.db.taken import refuse_taken
from garage.errors import Conflict, NotFound
from garage.moments import Moment
from garage.packs.forms import NewSet
from garage.packs.store import SetText, pack_by_code, packs_by_ids
from garage.packs.tables import Pack, PackSet, PackSetMember


def pack_set(session: Session, set_id: int) -> PackSet:
    """One set. Raises NotFound."""
    found = session.get(PackSet, set_id)
    if found is None:
        raise NotFound("There is no such set of packs.")
    return found


def members_of(session: Session, sets: list[SetText]) -> dict[int, Pack]:
    """The packs in some sets, by id."""
    return packs_by_ids(session, {member.id for one in sets for member in one.packs})


def add_set(session: Session, new: NewSet, at: Moment) -> PackSet:
    """Write down a set. Raises Conflict if a pack is not known or retired, or does not go in parallel."""
    refuse_taken(session, PackSet, "name", new.set["name"], lambda one: f"There is a set called {one.name} already.")
    members = {pack.id: pack for pack in (_member(session, code) for code in new.codes)}
    if new.set["wiring"] == "parallel" and len({pack.cells_s for pack in members.values()}) > 1:
        raise Conflict("Packs with different cell counts never go in parallel.")
    row = PackSet(**new.set, created_at=at.utc)
    session.add(row)
    session.flush()
    session.add_all(PackSetMember(set_id=row.id, pack_id=pack_id) for pack_id in members if pack_id is not None)
    return row


def retire_set(session: Session, set_id: int, on: str) -> PackSet:
    """Take a set apart in the notebook; '' for `on` brings it back. Its packs stay as they are."""
    row = pack_set(session, set_id)
    row.retired_on = on
    session.add(row)
    return row


def sets_of_pack(session: Session, pack_id: int) -> list[PackSet]:
    """The sets in use that a pack belongs to."""
    mine = select(PackSetMember.set_id).where(PackSetMember.pack_id == pack_id)
    return list(
        session.exec(select(PackSet).where(PackSet.retired_on == "", col(PackSet.id).in_(mine)).order_by(PackSet.name))
    )


def _member(session: Session, code: str) -> Pack:
    found = pack_by_code(session, code)
    if found is None:
        raise Conflict(f"No pack has the code {code[:40]}.")
    if found.retired_on:
        raise Conflict(f"Pack {found.code} is retired.")
    return found
