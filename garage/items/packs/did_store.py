"""The runs of a pack with what was read off it, for what it did in each."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import case, func
from sqlalchemy import select as select_columns
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.items.packs.series_store import shares
from garage.logs.tables import LogFile, LogPiece
from garage.packs.log.latest_store import Resistance, at_the_time, resistances_over_time
from garage.packs.run_use import RunOnPack
from garage.packs.series_sag import Share
from garage.packs.tables import Pack, PackLog
from garage.runs.tables import Run, RunPack
from garage.waters.tables import Outing

# Wired so, a pack has the volts that the log has; in series or on one side of two it need not.
_LOGGED_ALONE = ("single", "parallel")


@dataclass(frozen=True)
class Logged:
    """What the logs of a run tell: how far it went in m within how many seconds, and the lowest volts under load.
    `by` says what the distance was measured by: "position" or "doppler", '' if that was not kept.
    `energy_wh` is of the same log as the distance, told only if it has volts and current throughout."""

    distance_m: float | None
    seen_s: float | None
    lowest_v: float | None
    by: str = ""
    energy_wh: float | None = None


_NO_LOG = Logged(None, None, None)
_BY = {"position": "by its places", "doppler": "by its speeds over time"}
_ONE_SIDE = "whether the volts of the log are those of its side"


def runs_on_pack(
    session: Session, pack: Pack, *, limit: int, offset: int, run_id: int | None = None
) -> list[tuple[Run, RunOnPack]]:
    """Runs of a pack, newest first, with what is known of each; those set aside are not in it. With `run_id` that
    run alone."""
    query = (
        select(Run, RunPack, Outing.air_c, PackLog.temperature_c)
        .join(RunPack, col(RunPack.run_id) == col(Run.id))
        .outerjoin(PackLog, (col(PackLog.run_id) == col(Run.id)) & (col(PackLog.pack_id) == pack.id))
        .join(Outing, col(Outing.id) == col(Run.outing_id))
        .where(RunPack.pack_id == pack.id, col(Run.set_aside_at).is_(None))
        .order_by(col(Run.started_at).desc(), col(Run.id).desc())
    )
    if run_id is not None:
        query = query.where(Run.id == run_id)
    rows = list(session.exec(query.limit(limit).offset(offset)))
    known = resistances_over_time(session, pack.id)
    logged = _logged(session, [run.id for run, *_ in rows])
    lowest = {one: found.lowest_v for one, found in logged.items() if found.lowest_v is not None}
    in_series = [run for run, use, *_ in rows if use.wiring == "series" and run.id in lowest]
    parted = shares(session, pack.id, lowest, in_series) if in_series else {}
    return [
        (
            run,
            _on_pack(run, use, air_c, pack, after_c, known, logged.get(run.id, _NO_LOG), parted.get(run.id)),
        )
        for run, use, air_c, after_c in rows
    ]


def _on_pack(
    run: Run,
    use: RunPack,
    air_c: float | None,
    pack: Pack,
    after_c: float | None,
    known: Sequence[Resistance],
    logged: Logged,
    share: Share | None,
) -> RunOnPack:
    reading = at_the_time(known, run.started_at)
    alone = use.wiring in _LOGGED_ALONE
    return RunOnPack(
        charge_mah=use.charge_mah,
        duration_s=run.duration_s,
        distance_m=logged.distance_m,
        logged_s=logged.seen_s,
        start_c=use.start_temperature_c,
        air_c=air_c,
        after_c=after_c,
        rested_v=use.rested_v,
        loaded_v=logged.lowest_v if alone else None,
        cells_s=pack.cells_s,
        capacity_mah=pack.capacity_measured_mah or pack.capacity_mah,
        mass_g=pack.mass_g,
        resistance_25_mohm=reading.pack_mohm if reading else None,
        resistance_how=_how(reading, run.started_at) if reading else "",
        distance_how=_BY.get(logged.by, "as it was measured then"),
        share=share,
        after_v=_after_v(use),
        logged_wh=logged.energy_wh if use.wiring == "single" else None,
        not_its_own=_ONE_SIDE if logged.lowest_v is not None and use.wiring in ("left", "right") else "",
    )


def _after_v(use: RunPack) -> float | None:
    return use.end_v if use.end_v is not None else sum(json.loads(use.volts_after or "[]")) or None


def _how(reading: Resistance, utc: str) -> str:
    when = "last before it" if reading.at.utc <= utc else "first after it, for want of an earlier one"
    return f"the resistance read {when} ({reading.method}), without plugs and leads"


def _logged(session: Session, run_ids: Sequence[int]) -> dict[int, Logged]:
    """What the logs of runs tell; where a run has several, the distance of the one that saw most of it."""
    metres = func.sum(func.json_extract(LogPiece.found, "$.distance_m"))
    seconds = func.sum(LogPiece.end_s - LogPiece.start_s)
    lowest = func.min(func.json_extract(LogPiece.found, "$.lowest_v"))
    by = func.max(func.json_extract(LogPiece.found, "$.distance_source"))
    energy_wh = func.json_extract(LogPiece.found, "$.energy_wh")
    energy = case((func.count(energy_wh) == func.count(), func.sum(energy_wh)))
    rows = session.execute(
        select_columns(col(LogPiece.run_id), metres, seconds, lowest, by, energy)
        .join(LogFile, col(LogFile.id) == LogPiece.log_id)
        .where(in_(LogPiece.run_id, run_ids), col(LogFile.set_aside_at).is_(None))
        .group_by(col(LogPiece.run_id), col(LogPiece.log_id))
    )
    found: dict[int, Logged] = {}
    for run_id, distance_m, seen_s, lowest_v, measured_by, drawn_wh in rows:
        if run_id is not None:
            before = found.get(run_id, _NO_LOG)
            further = (distance_m or 0.0) > (before.distance_m or 0.0)
            found[run_id] = Logged(
                distance_m if further else before.distance_m,
                seen_s if further else before.seen_s,
                min((volts for volts in (before.lowest_v, lowest_v) if volts is not None), default=None),
                (measured_by or "") if further else before.by,
                drawn_wh if further else before.energy_wh,
            )
    return found
