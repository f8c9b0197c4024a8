"""Resistance readings of the packs in some runs, turned into what is assumed of those packs."""

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import fmean, median

from sqlmodel import Session, col, select

from garage.calc.effect.pack_physics import gained_by_settling, speed_by_resistance, with_readings
from garage.calc.effect.priors import Prior, Priors
from garage.calc.effect.runs import break_in_ahead
from garage.calc.pack import mean_current_a
from garage.calc.pack_use import NOMINAL_V_PER_CELL
from garage.db.in_ids import in_
from garage.findings.evidence.runs_store import HullRuns
from garage.moments import Moment
from garage.packs.ageing.store import history
from garage.packs.ageing.trend import ageing
from garage.packs.store import packs_by_ids
from garage.packs.tables import Pack
from garage.runs.tables import Run, RunPack

# A page must not grow with the packs of a garage.
_MOST_PACKS = 12


@dataclass(frozen=True)
class _Read:
    """What a pack's readings say: how they were taken, what it is now, and how far it fell while settling."""

    way: tuple[str, str]
    pack_mohm: float
    slope: float
    settled: Prior | None


def priors_from_readings(session: Session, gathered: HullRuns, priors: Priors) -> Priors:
    """The priors with those that the readings of the packs in these runs give; the same where nothing is known."""
    runs = gathered.runs.values()
    in_use = {use.pack for run in runs for use in run.packs}
    ids = [pack_id for pack_id, code in gathered.packs.items() if code in in_use][:_MOST_PACKS]
    current_a = _usual_current_a(session, list(gathered.runs))
    if current_a is None or not ids:
        return priors
    now = Moment.here(max(gathered.rows[run_id].started_at for run_id in gathered.runs))
    packs = packs_by_ids(session, ids).values()
    read = {pack.code: found for pack in packs if (found := _read(session, pack, current_a, now))}
    breaking_in = sorted({use.pack for run in runs for use in run.packs if break_in_ahead(use.discharge)})
    settling = {code: found.settled for code, found in read.items() if found.settled}
    return with_readings(priors, settling, breaking_in, _alike(read))


def _usual_current_a(session: Session, run_ids: list[int]) -> float | None:
    """The middle of the mean currents of these runs, from charge put back and duration."""
    rows = session.exec(
        select(RunPack.charge_mah, Run.duration_s)
        .join(Run, col(Run.id) == col(RunPack.run_id))
        .where(in_(RunPack.run_id, run_ids), col(RunPack.charge_mah) > 0, col(Run.duration_s) > 0)
    )
    currents = [mean_current_a(charge, duration) for charge, duration in rows if charge and duration]
    return median(currents) if currents else None


def _read(session: Session, pack: Pack, current_a: float, now: Moment) -> _Read | None:
    for way, points in history(session, pack, now).groups.items():
        # Resistance by a 1 kHz signal is not what a current meets.
        if way[0] == "AC 1 kHz":
            continue
        found = ageing(points, pack.limit_mohm)
        cells = [cell.now.value for cell in found.cells if cell.now is not None]
        if not cells:
            continue
        pack_mohm = fmean(cells) * pack.cells_s
        slope = speed_by_resistance(current_a, pack_mohm, pack.cells_s * NOMINAL_V_PER_CELL)
        fell = found.settling.fell if found.settling.cycle is not None else None
        return _Read(way, pack_mohm, slope, None if fell is None else gained_by_settling(slope, fell))
    return None


def _alike(read: Mapping[str, _Read]) -> dict[str, tuple[float, float]]:
    """Slope and resistance of the packs read in the way that most of them were read in: others do not compare."""
    ways = [found.way for found in read.values()]
    usual = max(ways, key=ways.count, default=None)
    return {code: (found.slope, found.pack_mohm) for code, found in read.items() if found.way == usual}
