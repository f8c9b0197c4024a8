"""The sag that a log shows of packs in series, parted among them.

The same current runs through all of them, so each takes of the sag what it has of their resistance. That asks
for readings of all by one method and instrument; without them the sag is of all together and stays so.
"""

from collections.abc import Sequence
from dataclasses import dataclass

# So far a single reading is off, plugs and leads of each pack included; assumed, common practice, no source.
READING_SHARE = 0.1


@dataclass(frozen=True)
class InSeries:
    """One of the packs in series: cells, rested volts, and its resistance in mΩ as warm as it was in the run,
    with a range; None where not known."""

    code: str
    cells_s: int
    rested_v: float | None
    mohm: float | None = None
    low_mohm: float | None = None
    high_mohm: float | None = None


@dataclass(frozen=True)
class Share:
    """A pack's share of the sag in V with its range. `value` is None if it cannot be told: then `why` says why.
    `total_v` is the sag of all together, None if even that is not known."""

    value: float | None
    low: float | None
    high: float | None
    total_v: float | None
    why: str = ""


def share_of_sag(own: InSeries, mates: Sequence[InSeries], lowest_v: float, least_cell_v: float) -> Share:
    """What `own` takes of the sag of itself and its `mates`, from the lowest volts of a log that has them all.

    Volts under `least_cell_v` a cell, or no lower than at rest, are another supply's or a dropout.
    """
    if not mates:
        return Share(None, None, None, None, f"the packs in series with {own.code}: the log has the volts of all")
    packs = [own, *mates]
    together = " + ".join(pack.code for pack in packs)
    unrested = [pack.code for pack in packs if pack.rested_v is None]
    if unrested:
        return Share(None, None, None, None, f"rested volts of {' and '.join(unrested)}: the log has {together} as one")
    rested_v = sum(pack.rested_v or 0.0 for pack in packs)
    if not least_cell_v * sum(pack.cells_s for pack in packs) <= lowest_v < rested_v:
        volts = f"lowest {lowest_v:.2f} V, rested {rested_v:.2f} V"
        return Share(None, None, None, None, f"volts of the log that go with {together} ({volts})")
    sag_v = rested_v - lowest_v
    if own.mohm is None or any(pack.mohm is None for pack in mates):
        why = f"its share of the sag of {together} in the log, {sag_v:.2f} V: not to be parted without readings of all"
        return Share(None, None, None, sag_v, f"{why} by one method and instrument")
    least, most = _off(own)
    mates_least, mates_most = (sum(ends) for ends in zip(*(_off(pack) for pack in mates), strict=True))
    of_all = own.mohm + sum(pack.mohm or 0.0 for pack in mates)
    return Share(
        sag_v * own.mohm / of_all,
        sag_v * least / (least + mates_most),
        sag_v * most / (most + mates_least),
        sag_v,
    )


def _off(pack: InSeries) -> tuple[float, float]:
    """The least and the most that a pack's resistance may be."""
    value = pack.mohm or 0.0
    low, high = pack.low_mohm or value, pack.high_mohm or value
    return low * (1 - READING_SHARE), high * (1 + READING_SHARE)
