"""What each found thing is called and where it is: one query per kind, for the few things on the page."""

import re
from dataclasses import dataclass
from typing import Any

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.corrections.same_store import joined
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


# The pages of things that may turn out to be the same as another, by the kind of these.
_SAME_PAGE = re.compile(r"/(packs|props|drives|waters)/([0-9]+)")
_SAME_KINDS = {"packs": "pack", "props": "prop", "drives": "part", "waters": "water"}
_PACK_PAGE = re.compile(r"/packs/([0-9]+)")


def _led_on(session: Session, things: Things, rows: list[Any]) -> list[Any]:
    """Rows of id, title, address and more, of which those whose page tells of another thing lead to that one. Only what
    is out of the lists can be the same as another."""
    pages = {row[2]: found for row in rows if row[-1] and (found := _SAME_PAGE.fullmatch(row[2] or ""))}
    led: dict[str, tuple[str, str]] = {}
    for room in {found[1] for found in pages.values()}:
        ids = [int(found[2]) for found in pages.values() if found[1] == room]
        for pair in joined(session, _SAME_KINDS[room], ids):
            kept = _SAME_KINDS[room], pair.kept_id
            name = things.several(session, [kept])[0].name if things.by_name[kept[0]].called else ""
            led[f"/{room}/{pair.gone_id}"] = f"/{room}/{pair.kept_id}", f"the same as {name or 'another'}"
    return [(row[0], f"{row[1]}: {led[row[2]][1]}", led[row[2]][0], *row[3:]) if row[2] in led else row for row in rows]


def places(session: Session, things: Things, kind: Kind, ids: list[int]) -> dict[int, Place]:
    """Title and address of some things of one kind; a thing that is gone is left out."""
    if not ids:
        return {}
    query = text(
        f"SELECT t.id, {things.title(kind)}, {things.address(kind)}, {kind.at}, {kind.offset_min}, {kind.aside} "
        f"FROM {kind.source} WHERE t.id IN :ids"
    ).bindparams(bindparam("ids", expanding=True))
    rows = session.execute(query, {"ids": ids}).all()
    rows = _led_on(session, things, [tuple(row) for row in rows])
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
