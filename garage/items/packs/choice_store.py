"""Packs that fit, with what is known of them, in a fixed number of queries."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from garage.calc.pack import mean_current_a
from garage.items.packs.choice import Known
from garage.packs.care_store import care_of
from garage.packs.log.cycles_store import use_before
from garage.packs.log.latest_store import latest_resistances
from garage.packs.store import pack_standings
from garage.packs.tables import Pack
from garage.packs.verdict_store import verdicts
from garage.runs.tables import Run, RunPack

_LATEST_RUNS = 12


def fitting_packs(session: Session, cells: int | None, *, limit: int, offset: int) -> list[Pack]:
    """Packs in use of so many cells in series (any if None), those of a set too: by code."""
    query = select(Pack).where(Pack.retired_on == "")
    if cells is not None:
        query = query.where(Pack.cells_s == cells)
    return list(session.exec(query.order_by(Pack.code).limit(limit).offset(offset)))


def known_of(session: Session, packs: Sequence[Pack]) -> Known:
    """What is known of some packs."""
    ids = [pack.id for pack in packs]
    return Known(
        pack_standings(session, ids), use_before(session, ids), care_of(session, ids), latest_resistances(session, ids),
        verdicts(session, ids),
    )  # fmt: skip


def usual_of_hull(session: Session, hull_id: int) -> tuple[int | None, float | None]:
    """Cells in series of one pack and the mean current in the latest runs of a hull; None where not written."""
    query = (
        select(Pack.cells_s, RunPack.charge_mah, Run.duration_s)
        .join(RunPack, col(RunPack.run_id) == col(Run.id))
        .join(Pack, col(Pack.id) == RunPack.pack_id)
        .where(Run.hull_id == hull_id, col(Run.set_aside_at).is_(None))
        .order_by(col(Run.started_at).desc())
        .limit(_LATEST_RUNS)
    )
    rows = list(session.exec(query))
    currents = sorted(mean_current_a(charge, lasted) for _, charge, lasted in rows if charge and lasted)
    return (rows[0][0] if rows else None), (currents[len(currents) // 2] if currents else None)
