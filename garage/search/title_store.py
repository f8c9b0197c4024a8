"""What each found thing is called and where it is: one query per kind, for the few things on the page."""

import re
from dataclasses import dataclass

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.moments import Moment
from garage.packs.verdict_store import retire_words
from garage.things import Kind, Things


@dataclass(frozen=True)
class Place:
    """A thing as a result names it: `title`, the address of its page, when it was (if it has a time), whether
    it was set aside or retired, and the verdict on the pack whose page it leads to, '' for any other."""

    title: str
    address: str
    at: Moment | None
    aside: bool
    retire: str = ""


_PACK_PAGE = re.compile(r"/packs/([0-9]+)")


def places(session: Session, things: Things, kind: Kind, ids: list[int]) -> dict[int, Place]:
    """Title and address of some things of one kind; a thing that is gone is left out."""
    if not ids:
        return {}
    query = text(
        f"SELECT t.id, {things.title(kind)}, {things.address(kind)}, {kind.at}, {kind.offset_min}, {kind.aside} "
        f"FROM {kind.source} WHERE t.id IN :ids"
    ).bindparams(bindparam("ids", expanding=True))
    rows = session.execute(query, {"ids": ids}).all()
    packs = {row[0]: int(found[1]) for row in rows if (found := _PACK_PAGE.fullmatch(row[2] or ""))}
    retire = retire_words(session, packs.values()) if packs else {}
    return {
        thing_id: Place(
            title or kind.name,
            address or "/",
            Moment(at, offset or 0) if at else None,
            bool(aside),
            retire.get(packs.get(thing_id, 0), ""),
        )
        for thing_id, title, address, at, offset, aside in rows
    }
