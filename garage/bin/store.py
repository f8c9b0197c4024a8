"""What was set aside, over all rooms, the latest first."""

from dataclasses import dataclass

from sqlalchemy import BindParameter, bindparam, text
from sqlmodel import Session

from garage.things import Binned, Things


@dataclass(frozen=True)
class SetAside:
    """One thing set aside: what it is called, where it belongs, and the address that brings it back."""

    kind: str
    name: str
    set_aside_at: str
    url: str
    back: str


def set_aside_things(session: Session, things: Things, *, limit: int, offset: int = 0) -> list[SetAside]:
    """What was set aside, the latest first."""
    most: BindParameter[int] = bindparam("most", limit + offset)
    parts = [_of_kind(kind.source, kind.binned) for kind in things.kinds if kind.binned]
    whole = text(" UNION ALL ".join(parts) + " ORDER BY at DESC, kind, url LIMIT :limit OFFSET :offset")
    rows = session.connection().execute(whole.bindparams(most, bindparam("limit", limit), bindparam("offset", offset)))
    return [SetAside(*row) for row in rows]


def _of_kind(source: str, binned: Binned) -> str:
    return (
        f"SELECT * FROM (SELECT '{binned.kind}' AS kind, {binned.name} AS name, t.set_aside_at AS at, "
        f"{binned.url} AS url, {binned.back} AS back FROM {source} "
        f"WHERE t.set_aside_at IS NOT NULL AND {binned.only} ORDER BY t.set_aside_at DESC LIMIT :most)"
    )
