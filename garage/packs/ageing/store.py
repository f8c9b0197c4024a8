"""A pack's readings and capacity tests in order of time, with how many discharges came before each."""

import json
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from sqlmodel import Session, col, select

from garage.calc.pack_use import charge_band_percent
from garage.moments import Moment
from garage.packs.ageing.capacity import Test
from garage.packs.ageing.trend import Point
from garage.packs.log.cycles_store import discharge_times
from garage.packs.log.store import readings
from garage.packs.tables import Pack, PackLog

# The newest so many are looked at: far more than a pack lives for, and a bound for the page.
MOST_READINGS, MOST_TESTS = 240, 80
_RESTED_ENOUGH_MIN = 30


class ReadingRow(Protocol):
    """The columns of a resistance reading that a point is made of."""

    @property
    def at(self) -> str: ...

    @property
    def offset_min(self) -> int: ...

    @property
    def cells_mohm(self) -> str: ...

    @property
    def temperature_c(self) -> float | None: ...

    @property
    def state_of_charge_percent(self) -> float | None: ...

    @property
    def rest_min(self) -> float | None: ...

    @property
    def volts(self) -> str: ...


@dataclass(frozen=True)
class History:
    """What was measured on a pack. `groups` holds points by (method, instrument), the group of the newest
    reading first, each oldest first. `discharges` is the count as of now, `a_year` how many of them within the
    last year, over `days`."""

    groups: dict[tuple[str, str], list[Point]]
    tests: list[Test]
    discharges: int
    a_year: int
    days: float


def history(session: Session, pack: Pack, now: Moment) -> History:
    """Everything measured on `pack`."""
    times = discharge_times(session, [pack.id])[pack.id]
    groups: dict[tuple[str, str], list[Point]] = {}
    for row in readings(session, pack.id, limit=MOST_READINGS):
        groups.setdefault((row.method, row.instrument.lower()), []).insert(0, point_of(row, pack.charges_before, times))
    tests = [_test(row, pack, times) for row in reversed(_tests(session, pack.id))]
    a_year, days = _pace(times, now)
    return History(groups, tests, pack.charges_before + len(times), a_year, days)


def _tests(session: Session, pack_id: int) -> list[PackLog]:
    kept = select(PackLog).where(
        PackLog.pack_id == pack_id,
        PackLog.kind == "capacity",
        col(PackLog.charge_mah).is_not(None),
        col(PackLog.set_aside_at).is_(None),
    )
    return list(session.exec(kept.order_by(col(PackLog.at).desc()).limit(MOST_TESTS)))


def point_of(row: ReadingRow, charges_before: int, times: Sequence[str]) -> Point:
    """One reading, with the discharges counted before it: `times` are those in the log, in order."""
    return Point(
        Moment(row.at, row.offset_min),
        charges_before + bisect_left(times, row.at),
        tuple(json.loads(row.cells_mohm)),
        row.temperature_c,
        row.state_of_charge_percent if row.state_of_charge_percent is not None else _charge(row),
    )


def _charge(row: ReadingRow) -> float | None:
    """State of charge by resting volts, the middle of what published curves say, if it had rested."""
    if not row.volts or row.rest_min is None or row.rest_min < _RESTED_ENOUGH_MIN:
        return None
    volts = json.loads(row.volts)
    low, high = charge_band_percent(sum(volts) / len(volts))
    return (low + high) / 2


def _test(row: PackLog, pack: Pack, times: Sequence[str]) -> Test:
    before = pack.charges_before + bisect_left(times, row.at)
    return Test(Moment(row.at, row.offset_min), before, row.charge_mah or 0.0, row.current_a, row.temperature_c)


def _pace(times: Sequence[str], now: Moment) -> tuple[int, float]:
    """How many discharges within the last year, and over how many days, at least a month."""
    begin = Moment.of(now.local() - timedelta(days=365)).utc
    lately = times[bisect_left(times, begin) :]
    if not lately:
        return 0, 0.0
    since = datetime.fromisoformat(lately[0].replace("Z", "+00:00"))
    return len(lately), max((now.local() - since).total_seconds() / 86400, 30.0)
