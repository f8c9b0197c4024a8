"""Two things that are one: which stands for which."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func
from sqlmodel import Session, col, or_, select

from garage.corrections.tables import SameThing
from garage.db.in_ids import in_


@dataclass(frozen=True)
class Joined:
    """The thing `gone_id` is the same as `kept_id` since `at`; `mending_id` is what made them one."""

    gone_id: int
    kept_id: int
    at: str
    mending_id: int | None


def joined(session: Session, kind: str, ids: Iterable[int]) -> list[Joined]:
    """All pairs that some things of one kind belong to now, whichever of the two they are."""
    wanted = set(ids)
    if not wanted:
        return []
    either = or_(in_(SameThing.gone_id, wanted), in_(SameThing.kept_id, wanted))
    rows = session.exec(select(SameThing).where(_stands(kind), either).order_by(col(SameThing.id)))
    return [Joined(row.gone_id, row.kept_id, row.at, row.mending_id) for row in rows]


def kept_ids(session: Session, kind: str, ids: Iterable[int]) -> dict[int, int]:
    """The thing that stands for each of some, by id; for most of them they themselves."""
    wanted = set(ids)
    found = {one.gone_id: one.kept_id for one in joined(session, kind, wanted)}
    return {one: found.get(one, one) for one in wanted}


def all_ids(session: Session, kind: str, ids: Iterable[int]) -> dict[int, int]:
    """Some things with all that they stand for: by id of each of these, the thing that stands for it."""
    wanted = kept_ids(session, kind, ids)
    kept = set(wanted.values())
    gone = {one.gone_id: one.kept_id for one in joined(session, kind, kept) if one.kept_id in kept}
    return {one: one for one in kept} | gone


def kept_id(kind: str, thing_id: Any) -> Any:
    """As a column: the id of the thing that stands for the thing of kind `kind` with the id of a column."""
    standing = select(SameThing.kept_id).where(_stands(kind), col(SameThing.gone_id) == thing_id).scalar_subquery()
    return func.coalesce(standing, thing_id)


def is_or_stands_for(kind: str, thing_id: Any, ids: Iterable[int]) -> Any:
    """The condition that the id of a column is one of `ids`, or that one of these stands for it."""
    wanted = list(ids)
    gone = select(SameThing.gone_id).where(_stands(kind), in_(SameThing.kept_id, wanted))
    return in_(thing_id, wanted) | col(thing_id).in_(gone)


def is_gone(kind: str, thing_id: Any) -> Any:
    """The condition that another thing stands for the one with the id of a column."""
    return select(SameThing.id).where(_stands(kind), col(SameThing.gone_id) == thing_id).exists()


def _stands(kind: str) -> Any:
    return (col(SameThing.kind) == kind) & col(SameThing.parted_at).is_(None)
