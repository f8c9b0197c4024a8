"""Where a part is and was installed."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from garage.builds.tables import BuildState, Change, Supersession
from garage.hulls.tables import Hull
from garage.moments import Moment


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
    gave_way = select(Supersession.id).where(Supersession.old_state_id == BuildState.id).exists()
    rows = session.exec(
        select(
            Change.kind,
            Change.place,
            BuildState.made_at,
            BuildState.offset_min,
            BuildState.hull_id,
            Hull.name,
            BuildState.number,
            Change.note,
        )  # type: ignore[call-overload]
        .join(BuildState, col(Change.state_id) == BuildState.id)
        .join(Hull, col(BuildState.hull_id) == Hull.id)
        .where(Change.part_id == part_id, ~gave_way)
        .order_by(col(BuildState.made_at).desc(), col(Change.id).desc())
        .limit(limit)
    )
    return [
        PartEvent(kind, place, Moment(made_at, offset), hull_id, hull, number, note)
        for kind, place, made_at, offset, hull_id, hull, number, note in rows
    ]


def installed_in(session: Session, part_ids: list[int]) -> dict[int, PartEvent]:
    """The change that put each of some parts where it is now; a part that is nowhere is missing."""
    found = {}
    for part_id in part_ids:
        latest = part_events(session, part_id, limit=1)
        if latest and latest[0].kind == "install":
            found[part_id] = latest[0]
    return found
