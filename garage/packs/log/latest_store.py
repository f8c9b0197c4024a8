"""The latest resistance of packs, at 25 °C: for many packs, or of one pack at the moments of its runs."""

import json
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session

from garage.calc.ageing.temperature import COLDEST_C, HOTTEST_C, AtReference, at_reference
from garage.moments import Moment
from garage.packs.log.store import readings

# By alternating current a cell reads lower than it does under load: of no use for sag and heat.
_UNDER_LOAD = ("charger DC step", "sag in a run", "other")
_MOST_READINGS = 240
_LATEST = text("""
    SELECT asked.value, (
        SELECT json_array(one.at, one.offset_min, one.cells_mohm, one.temperature_c, one.method, one.instrument)
        FROM pack_reading AS one WHERE one.pack_id = asked.value AND one.set_aside_at IS NULL
             AND one.method <> 'AC 1 kHz' AND one.temperature_c BETWEEN :coldest AND :hottest
        ORDER BY one.at DESC LIMIT 1)
    FROM json_each(:ids) AS asked
""")


@dataclass(frozen=True)
class Resistance:
    """A reading at 25 °C: cell by cell in mΩ, when, and how it was read."""

    at: Moment
    cells: list[AtReference]
    method: str
    instrument: str = ""

    @property
    def pack_mohm(self) -> float:
        """All cells in series, without plugs and leads."""
        return sum(cell.value for cell in self.cells)

    @property
    def mean_mohm(self) -> AtReference:
        """The mean cell with its range."""
        count = len(self.cells)
        return AtReference(
            self.pack_mohm / count,
            sum(cell.low for cell in self.cells) / count,
            sum(cell.high for cell in self.cells) / count,
        )


def latest_resistances(session: Session, pack_ids: Iterable[int]) -> dict[int, Resistance]:
    """The newest reading under load of each pack whose temperature is known; packs without one are missing."""
    asked = {"ids": json.dumps(sorted(set(pack_ids))), "coldest": COLDEST_C, "hottest": HOTTEST_C}
    rows = session.execute(_LATEST, asked)
    return {pack_id: _resistance(*json.loads(found)) for pack_id, found in rows if found}


def resistances_over_time(session: Session, pack_id: int) -> list[Resistance]:
    """The readings of one pack under load whose temperature is known, oldest first."""
    return [
        _resistance(row.at, row.offset_min, row.cells_mohm, row.temperature_c, row.method, row.instrument)
        for row in reversed(readings(session, pack_id, limit=_MOST_READINGS))
        if row.method in _UNDER_LOAD and row.temperature_c is not None and COLDEST_C <= row.temperature_c <= HOTTEST_C
    ]


def at_the_time(found: Sequence[Resistance], utc: str) -> Resistance | None:
    """The last of `found` (oldest first) before `utc`, else the first after it."""
    if not found:
        return None
    return found[max(bisect_right([one.at.utc for one in found], utc) - 1, 0)]


def _resistance(at: str, offset_min: int, cells: str, temperature_c: float, method: str, instrument: str) -> Resistance:
    brought = [at_reference(cell, temperature_c) for cell in json.loads(cells)]
    return Resistance(Moment(at, offset_min), brought, method, instrument)
