"""Reads and writes balance sheets and readings of two scales."""

from sqlmodel import Session, col, select

from garage.bench.balance.forms import ScaleFormData
from garage.bench.tables import BalanceSheet, ScaleReading
from garage.errors import NotFound
from garage.moments import Moment
from garage.states.tables import BuildState

_MOST_READINGS = 20


def latest_sheet(session: Session, state: BuildState) -> tuple[BalanceSheet, int] | None:
    """The parts as written for a state, else for the latest state before it; with that state's number."""
    return session.exec(
        select(BalanceSheet, BuildState.number)
        .join(BuildState, col(BuildState.id) == col(BalanceSheet.state_id))
        .where(
            BalanceSheet.hull_id == state.hull_id,
            BuildState.number <= state.number,
            col(BalanceSheet.set_aside_at).is_(None),
        )
        .order_by(col(BuildState.number).desc(), col(BalanceSheet.id).desc())
        .limit(1)
    ).first()


def add_sheet(session: Session, state: BuildState, parts: str, at: Moment) -> BalanceSheet:
    """Keep the parts as typed for a state."""
    row = BalanceSheet(hull_id=state.hull_id, state_id=state.id, parts=parts, created_at=at.utc)
    session.add(row)
    session.flush()
    return row


def set_sheet_aside(session: Session, state: BuildState, sheet_id: int, at: str) -> None:
    """Take a kept sheet back: the one before it stands again. Raises NotFound."""
    row = session.get(BalanceSheet, sheet_id)
    if row is None or row.state_id != state.id:
        raise NotFound("There is no such balance sheet of this build state.")
    row.set_aside_at = at
    session.add(row)


def scale_readings(session: Session, state_id: int) -> list[ScaleReading]:
    """What two scales read in a state, the latest first."""
    kept = select(ScaleReading).where(ScaleReading.state_id == state_id, col(ScaleReading.set_aside_at).is_(None))
    return list(
        session.exec(kept.order_by(col(ScaleReading.at).desc(), col(ScaleReading.id).desc()).limit(_MOST_READINGS))
    )


def add_scale_reading(session: Session, state_id: int, form: ScaleFormData, at: Moment) -> ScaleReading:
    """Keep what two scales read."""
    row = ScaleReading(
        state_id=state_id,
        at=at.utc,
        offset_min=at.offset_min,
        first_x_mm=form.first_x_mm,
        first_g=form.first_g,
        second_x_mm=form.second_x_mm,
        second_g=form.second_g,
        note=form.note,
        created_at=at.utc,
    )
    session.add(row)
    session.flush()
    return row


def set_scale_reading_aside(session: Session, state_id: int, reading_id: int, at: str | None) -> None:
    """Set a reading aside, or bring it back with `at` None. Raises NotFound."""
    row = session.get(ScaleReading, reading_id)
    if row is None or row.state_id != state_id:
        raise NotFound("There is no such reading of this build state.")
    row.set_aside_at = at
    session.add(row)
