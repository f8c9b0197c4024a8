"""Which things are one with another, and which only look alike: as the page of each of them tells it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from sqlmodel import Session, col, select

from garage.corrections.same_store import is_gone, joined
from garage.db.in_ids import rows_by_ids
from garage.inventory.collection import Collection
from garage.inventory.lookalike import look_alike

# So many that look alike are named.
_MOST_ALIKE = 3


@dataclass(frozen=True)
class Other:
    """Another thing of the kind; `mending` is the number of what made the two one, None where they are two."""

    id: int
    name: str
    url: str
    words: str
    mending: int | None = None


@dataclass(frozen=True)
class Sameness:
    """`kept` is the thing that a thing is the same as, `gone` are those that it stands for, `alike` those that were
    written before and look like it."""

    kind: str = ""
    kept: Other | None = None
    gone: list[Other] = field(default_factory=list)
    alike: list[Other] = field(default_factory=list)


def sameness(session: Session, collection: Collection, row: Any, text: Callable[[Any], str]) -> Sameness:
    """The same as what `row` is; `text` tells a thing in a few words."""
    pairs = joined(session, collection.owner, [row.id])
    by_other = {one.kept_id if one.gone_id == row.id else one.gone_id: one for one in pairs}
    found = rows_by_ids(session, collection.table, by_other) if by_other else {}
    others = [_other(collection, found[one], text, by_other[one].mending_id) for one in by_other]
    kept = next((one for one in others if by_other[one.id].gone_id == row.id), None)
    gone = [] if kept else others
    alike = [] if kept else [_other(collection, one, text) for one in _alike(session, collection, row)]
    return Sameness(collection.owner, kept, gone, alike)


def _other(collection: Collection, row: Any, text: Callable[[Any], str], mending: int | None = None) -> Other:
    return Other(row.id, collection.called(row), f"{collection.url}/{row.id}", text(row), mending)


def _alike(session: Session, collection: Collection, row: Any) -> list[Any]:
    table: Any = collection.table
    key = getattr(table, collection.key)
    older = select(table.id, key).where(table.id < row.id, ~is_gone(collection.owner, col(table.id)))
    mine = getattr(row, collection.key)
    ids = [other_id for other_id, written in session.exec(older) if look_alike(mine, written)]
    return list(rows_by_ids(session, collection.table, ids[:_MOST_ALIKE]).values()) if ids else []
