"""A pack's first discharges with how hard they were."""

from sqlmodel import Session, col, select

from garage.calc.pack import mean_current_a
from garage.items.packs.plan import FirstDischarge, Plan, break_in_plan
from garage.moments import Moment
from garage.packs.tables import DISCHARGES, Pack, PackLog
from garage.runs.tables import Run


def plan_of(session: Session, pack: Pack) -> Plan:
    """Where a pack stands in its break-in plan."""
    query = (
        select(PackLog, Run.duration_s)
        .outerjoin(Run, col(Run.id) == PackLog.run_id)
        .where(
            PackLog.pack_id == pack.id,
            col(PackLog.kind).in_(DISCHARGES),
            col(PackLog.set_aside_at).is_(None),
        )
        .order_by(col(PackLog.at))
        .limit(max(pack.break_in_charges, 1))
    )
    first = [
        FirstDischarge(Moment(row.at, row.offset_min), row.kind, _current(row, duration_s), row.run_id)
        for row, duration_s in session.exec(query)
    ]
    capacity = pack.capacity_measured_mah or pack.capacity_mah
    return break_in_plan(pack.break_in_charges, pack.break_in_c, capacity, pack.charges_before, first)


def _current(row: PackLog, duration_s: float | None) -> float | None:
    if row.current_a is not None:
        return row.current_a
    return mean_current_a(row.charge_mah, duration_s) if row.charge_mah and duration_s else None
