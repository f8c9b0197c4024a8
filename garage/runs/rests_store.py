"""What rests on build states: runs do. Handed down to the rooms below as `handed_down.Rests`."""

from collections.abc import Iterable

from sqlalchemy import ColumnElement
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.modifications.tables import Step
from garage.modifications.work_mended import work_as_mended
from garage.moments import Moment
from garage.props.tables import PropEdition
from garage.runs.tables import Run, RunPack, RunProp
from garage.states.tables import BuildState, Change

__all__ = ["frozen_steps", "is_frozen", "last_run_of", "last_run_utc", "work_as_mended"]


def is_frozen(session: Session, hull_id: int, number: int) -> bool:
    """Whether a run rests on the hull's state of this number or on a later one: what the triggers go by."""
    found = session.exec(
        select(Run.id)
        .join(BuildState, col(BuildState.id) == Run.state_id)
        .where(BuildState.hull_id == hull_id, BuildState.number >= number)
        .limit(1)
    )
    return found.first() is not None


def last_run_utc(session: Session, hull_id: int) -> str:
    """When the hull's latest run started, in UTC; '' if it has none."""
    started = select(Run.started_at).where(Run.hull_id == hull_id).order_by(col(Run.started_at).desc())
    return session.exec(started.limit(1)).first() or ""


def last_run_of(session: Session, owner: str, owner_id: int) -> Moment | None:
    """When the latest run of a hull, pack or prop began that counts; None for none, and for other things."""
    of_pack = select(RunPack.run_id).where(RunPack.pack_id == owner_id)
    of_prop = select(RunProp.run_id).join(PropEdition, col(PropEdition.id) == RunProp.edition_id)
    its: dict[str, ColumnElement[bool]] = {
        "hull": col(Run.hull_id) == owner_id,
        "pack": col(Run.id).in_(of_pack),
        "prop": col(Run.id).in_(of_prop.where(PropEdition.prop_id == owner_id)),
    }
    if owner not in its:
        return None
    began = select(Run.started_at, Run.offset_min).where(its[owner], col(Run.set_aside_at).is_(None))
    found = session.exec(began.order_by(col(Run.started_at).desc()).limit(1)).first()
    return Moment(*found) if found else None


def frozen_steps(session: Session, modification_ids: Iterable[int]) -> set[int]:
    """Which steps of some modifications a run rests on, by id: those that came with its state or an earlier one."""
    later = aliased(BuildState)
    rests = (
        select(Run.id)
        .join(later, col(later.id) == Run.state_id)
        .where(later.hull_id == BuildState.hull_id, later.number >= BuildState.number)
    )
    found = session.exec(
        select(Step.id)
        .join(Change, col(Change.id) == Step.in_change_id)
        .join(BuildState, col(BuildState.id) == Change.state_id)
        .where(in_(col(Step.modification_id), modification_ids), rests.exists())
    )
    return set(found)
