"""Cycle counts of a pack: charges, as the trade counts, and equivalent full cycles."""

from dataclasses import dataclass

from garage.calc.pack_use import equivalent_cycles
from garage.packs.log.cycles_store import Use
from garage.packs.tables import Pack


@dataclass(frozen=True)
class Cycles:
    """`charges` counts each discharge of the log and those before the notebook; `full` is the charge that came
    out over the capacity, with what it leaves out in `origin`."""

    charges: int
    full: float
    origin: str


def cycles_of(pack: Pack, use: Use) -> Cycles:
    """The counts of `pack` for what its log says."""
    measured = pack.capacity_measured_mah
    left_out = [
        words
        for count, words in (
            (use.without_charge, f"{_discharges(use.without_charge)} without a charge written"),
            (pack.charges_before, f"{pack.charges_before} before this notebook"),
        )
        if count
    ]
    origin = f"charge out by {'measured' if measured else 'stated'} capacity"
    if left_out:
        origin += "; not in it: " + ", ".join(left_out)
    full = equivalent_cycles([use.charge_mah], measured or pack.capacity_mah)
    return Cycles(pack.charges_before + use.discharges, full, origin)


def _discharges(count: int) -> str:
    return "1 discharge" if count == 1 else f"{count} discharges"
