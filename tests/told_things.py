"""What a room tells of its kinds of things (`garage/things.py`), each piece of SQL run over the rows there are."""

from typing import Any

from sqlalchemy import text
from sqlmodel import Session

from garage.things import Kind
from garage.web.pages import Pages


def told(session: Session, kind: Kind) -> list[dict[str, Any]]:
    """Everything that is told of the things of one kind, in the order of their numbers."""
    asked = {
        "title": kind.title, "called": kind.called or "''", "url": kind.url, "place": kind.place, "aside": kind.aside,
        "in_use": kind.in_use, "at": kind.at, "offset_min": kind.offset_min,
    }  # fmt: skip
    if kind.found:
        asked |= {"found": kind.found.title.format(row="t"), "text": kind.found.body.format(row="t")}
    if kind.binned:
        asked |= {"bin": kind.binned.name, "bin_url": kind.binned.url, "back": kind.binned.back}
        asked |= {"only": kind.binned.only}
    columns = ", ".join(f"{sql} AS {name}" for name, sql in asked.items())
    rows = session.connection().execute(text(f"SELECT {columns} FROM {kind.source} ORDER BY t.id"))
    return [dict(row._mapping) for row in rows]


def asked_for(pages: Pages) -> dict[str, set[str]]:
    """What may stand behind the question mark of each page of data, by its address; nothing where none may."""
    found = {}
    for route in pages.routes():
        represents = getattr(route.endpoint, "represents", None)
        if represents and represents.asks:
            found[route.path] = set(represents.asks)
    return found
