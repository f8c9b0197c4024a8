"""Capacity tests of a pack: full discharges on the bench, held against the first of them."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.ageing.robust import median, wild
from garage.calc.ageing.trend import Forecast, Trend, forecast, trend
from garage.moments import Moment

# The share of the first capacity at which a cell counts as worn out. A convention of traction batteries, taken
# over in the trade; common practice, not a rule for these packs.
WORN_SHARE = 0.8
_FIRST_TESTS = 3


@dataclass(frozen=True)
class Test:
    """One capacity test: what came out, after how many discharges."""

    at: Moment
    discharges: int
    charge_mah: float
    current_a: float | None
    temperature_c: float | None


@dataclass(frozen=True)
class Capacity:
    """What the tests say: `share` of the first (the middle of up to three) that the last one gave."""

    tests: list[Test]
    first_mah: float | None
    share: float | None
    limit_mah: float | None
    line: Trend | None
    forecast: Forecast | None
    left_out: list[Moment]

    @property
    def at_limit(self) -> bool:
        """Whether the last test gave less than four fifths of the first."""
        return self.share is not None and self.share < WORN_SHARE


def capacity_of(tests: Sequence[Test]) -> Capacity:
    """What `tests`, oldest first, say. A single one is the first and the last at once."""
    absurd = set(wild([test.charge_mah for test in tests]))
    kept = [test for place, test in enumerate(tests) if place not in absurd]
    left_out = [tests[place].at for place in sorted(absurd)]
    if not kept:
        return Capacity(list(tests), None, None, None, None, None, left_out)
    first = _first([test.charge_mah for test in kept])
    line = trend([test.discharges for test in kept], [test.charge_mah for test in kept])
    limit = WORN_SHARE * first
    return Capacity(
        list(tests), first, kept[-1].charge_mah / first, limit, line,
        forecast(line, limit) if line else None, left_out,
    )  # fmt: skip


def share_of_first(charges_mah: Sequence[float]) -> float | None:
    """What the last of some tests, oldest first, gave of the first, as in `capacity_of`; None without a test."""
    absurd = set(wild(charges_mah))
    kept = [charge for place, charge in enumerate(charges_mah) if place not in absurd]
    return kept[-1] / _first(kept) if kept else None


def _first(kept_mah: Sequence[float]) -> float:
    # Half of the tests at most count as first: else a worn pack would be held against itself.
    return median(kept_mah[: max(1, min(_FIRST_TESTS, len(kept_mah) // 2))])
