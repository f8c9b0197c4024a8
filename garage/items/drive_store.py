"""Where a part is and was installed."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func
from sqlalchemy import select as select_columns
from sqlmodel import Session, col, select

from garage.corrections.same_store import is_or_stands_for, kept_id
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.tables import BuildState, Change, Supersession

_LATEST_FIRST = (col(BuildState.made_at).desc(), col(Change.id).desc())


@dataclass(frozen=True)
class PartEvent:
    """One change that a part had a share in."""

    kind: str
    place: str
    at: Moment
    hull_id: int
    hull: str
    state_number: int
    note: str


def part_events(session: Session, part_id: int, *, limit: int = 50) -> list[PartEvent]:
    """Where a part was installed and taken out, the latest first; states that gave way do not count."""
    query = _events().where(is_or_stands_for("part", Change.part_id, [part_id])).order_by(*_LATEST_FIRST).limit(limit)
    return [_event(*row) for row in session.exec(query)]


def installed_in(session: Session, part_ids: Iterable[int]) -> dict[int, PartEvent]:
    """The change that put each of some parts where it is now; a part that is nowhere is missing."""
    stands = kept_id("part", col(Change.part_id))
    order = func.row_number().over(partition_by=stands, order_by=_LATEST_FIRST)
    ranked = (
        _events()
        .add_columns(stands.label("part_id"), order.label("place_in_time"))
        .where(is_or_stands_for("part", Change.part_id, part_ids))
        .subquery()
    )
    latest = select_columns(ranked).where(ranked.c.place_in_time == 1, ranked.c.kind == "install")
    rows = session.connection().execute(latest)
    return {row.part_id: _event(*row[:-2]) for row in rows}


def _events() -> Any:
    gave_way = select(Supersession.id).where(Supersession.old_state_id == BuildState.id).exists()
    columns = (
        Change.kind,
        Change.place,
        BuildState.made_at,
        BuildState.offset_min,
        BuildState.hull_id,
        Hull.name,
        BuildState.number,
        Change.note,
    )
    query: Any = select(*columns)  # type: ignore[call-overload]
    return (
        query.join(BuildState, col(Change.state_id) == BuildState.id)
        .join(Hull, col(BuildState.hull_id) == Hull.id)
        .where(~gave_way)
    )


def _event(
    kind: str, place: str, made_at: str, offset_min: int, hull_id: int, hull: str, number: int, note: str
) -> PartEvent:
    return PartEvent(kind, place, Moment(made_at, offset_min), hull_id, hull, number, note)
