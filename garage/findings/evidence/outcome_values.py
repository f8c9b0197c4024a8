"""The outcome of a run, of any kind, and how it is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.calc import pack_use
from garage.findings.evidence.logged_store import Logged, corners_kept, logged_of
from garage.findings.evidence.outcomes import Outcome
from garage.packs.tables import Pack
from garage.runs.tables import Run, RunPack
from garage.units import DisplayUnits, convert
from garage.waters.tables import Outing

_SPEED_HOW = {"log": "log", "display": "display", "by eye": "eye", "": "display"}


@dataclass(frozen=True)
class Measured:
    """An outcome in the unit of the page, and how it is known, as the model calls it."""

    value: float
    how: str


@dataclass(frozen=True)
class Readings:
    """What the logs of some runs say, by run id."""

    logged: Mapping[int, Logged]
    corners: Mapping[int, float]


def readings(session: Session, outcome: Outcome, run_ids: Sequence[int]) -> Readings:
    """What of the logs an outcome is made of; with the speed goes where she went in the wind."""
    logged = logged_of(session, run_ids) if outcome.key in ("speed", "energy") else {}
    return Readings(logged, corners_kept(session, run_ids) if outcome.key == "corners" else {})


def measured(
    row: Run,
    outcome: Outcome,
    day: Outing,
    read: Readings,
    hottest: Mapping[str, float],
    uses: Sequence[RunPack],
    packs: Mapping[int, Pack],
    units: DisplayUnits,
) -> Measured | None:
    """The outcome of one run; None where it was not written down."""
    if outcome.key == "speed":
        if row.speed_kmh is None:
            return None
        return Measured(convert(row.speed_kmh, "speed", "km/h", units.unit("speed")), _SPEED_HOW[row.speed_how])
    if outcome.key == "energy":
        return _energy_per_km(read.logged.get(row.id), uses, packs)
    if outcome.key == "corners":
        return Measured(read.corners[row.id], "log") if row.id in read.corners else None
    return _rise(outcome, day, hottest.get(outcome.spot), units)


def _rise(outcome: Outcome, day: Outing, hottest_c: float | None, units: DisplayUnits) -> Measured | None:
    if hottest_c is None or day.air_c is None or hottest_c <= day.air_c:
        return None
    rise = hottest_c - day.air_c
    return Measured(convert(rise, "temperature_rise", "K", units.unit("temperature_rise")), "log")


def _energy_per_km(logged: Logged | None, uses: Sequence[RunPack], packs: Mapping[int, Pack]) -> Measured | None:
    """By volts and current of the log, else by the charge put back into every pack of the run."""
    if logged is None:
        return None
    km = logged.distance_m / 1000
    if logged.energy_wh and logged.energy_wh > 0:
        return Measured(logged.energy_wh / km, "log")
    charges = [use.charge_mah for use in uses]
    if not charges or not all(charges):
        return None
    energy = sum(pack_use.energy_wh(use.charge_mah or 0.0, packs[use.pack_id].cells_s).value for use in uses)
    return Measured(energy / km, "charge")
