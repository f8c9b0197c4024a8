"""The packs that ran in series with one, with their resistances as of the run, to part a log's sag among them."""

from collections.abc import Mapping, Sequence

from sqlmodel import Session, col, select

from garage.calc.ageing.temperature import USUAL_CONSTANT_K, ratio_to_reference
from garage.db.in_ids import in_
from garage.packs.log.latest_store import Resistance, at_the_time, resistances_over_time
from garage.packs.run_use import LEAST_LOADED_V
from garage.packs.series_sag import InSeries, Share, share_of_sag
from garage.packs.store import packs_by_ids
from garage.packs.tables import PackLog
from garage.runs.store import packs_of
from garage.runs.tables import Run, RunPack


def shares(session: Session, pack_id: int, lowest: Mapping[int, float], runs: Sequence[Run]) -> dict[int, Share]:
    """The share of one pack in the sag of each of `runs`, all in series, whose logs had the volts `lowest`."""
    uses = packs_of(session, [run.id for run in runs if run.id in lowest])
    in_series = {run_id: [use for use in found if use.wiring == "series"] for run_id, found in uses.items()}
    ids = {use.pack_id for found in in_series.values() for use in found}
    packs, known = packs_by_ids(session, ids), {one: resistances_over_time(session, one) for one in ids}
    warmth = _after_c(session, list(in_series))
    told = {}
    for run in runs:
        found = in_series.get(run.id, [])
        if run.id is None or not any(use.pack_id == pack_id for use in found):
            continue
        read = _alike(known, [use.pack_id for use in found], run.started_at)
        celsius = _temperatures(found, warmth)
        members = {
            use.pack_id: _member(use, packs[use.pack_id].code, packs[use.pack_id].cells_s, read, celsius)
            for use in found
        }
        own = members.pop(pack_id)
        told[run.id] = share_of_sag(own, list(members.values()), lowest[run.id], LEAST_LOADED_V)
    return told


def _alike(known: Mapping[int, Sequence[Resistance]], ids: Sequence[int], utc: str) -> dict[int, Resistance]:
    """A reading of each pack by one method and instrument, as of a moment; of several such ways the one used last
    before it. Empty if there is no way that all were read by."""
    ways = [{(one.method, one.instrument) for one in known[pack_id]} for pack_id in ids]
    best: dict[int, Resistance] = {}
    for way in sorted(set.intersection(*ways)):
        of_way = {pack_id: [one for one in known[pack_id] if (one.method, one.instrument) == way] for pack_id in ids}
        read = {pack_id: one for pack_id, rows in of_way.items() if (one := at_the_time(rows, utc)) is not None}
        if not best or _lateness(read, utc) > _lateness(best, utc):
            best = read
    return best


def _lateness(read: Mapping[int, Resistance], utc: str) -> tuple[bool, str]:
    """The oldest of some readings; better before the moment than after it."""
    oldest = min(one.at.utc for one in read.values())
    return all(one.at.utc <= utc for one in read.values()), oldest


def _temperatures(found: Sequence[RunPack], after_c: Mapping[tuple[int, int], float]) -> dict[int, float]:
    """How warm each pack was in its run, where that is known of all; else none, and all count as alike."""
    ends = {
        use.pack_id: [
            one for one in (use.start_temperature_c, after_c.get((use.run_id, use.pack_id))) if one is not None
        ]
        for use in found
    }
    if any(len(known) < 2 for known in ends.values()):
        return {}
    return {pack_id: sum(known) / len(known) for pack_id, known in ends.items()}


def _member(
    use: RunPack, code: str, cells_s: int, read: Mapping[int, Resistance], celsius: Mapping[int, float]
) -> InSeries:
    one = read.get(use.pack_id)
    if one is None:
        return InSeries(code, cells_s, use.rested_v)
    warm = ratio_to_reference(celsius[use.pack_id], USUAL_CONSTANT_K) if use.pack_id in celsius else 1.0
    low, high = sum(cell.low for cell in one.cells), sum(cell.high for cell in one.cells)
    return InSeries(code, cells_s, use.rested_v, one.pack_mohm * warm, low * warm, high * warm)


def _after_c(session: Session, run_ids: Sequence[int]) -> dict[tuple[int, int], float]:
    rows = session.exec(
        select(PackLog.run_id, PackLog.pack_id, PackLog.temperature_c).where(
            in_(PackLog.run_id, run_ids), col(PackLog.temperature_c).is_not(None)
        )
    )
    return {
        (run_id, pack_id): celsius for run_id, pack_id, celsius in rows if run_id is not None and celsius is not None
    }
