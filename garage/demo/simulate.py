"""The demo's small simulator: what a run would show, if the stated truth were true. Pure functions.

Speeds follow a model in the log of the speed (see `expected_ln_speed`); charge, heat and resistance are
simple physics with round figures. Every draw comes from a stream of its own name, so that the same seed
gives the same garage and a run that is added changes no other.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from garage.demo.truth import Truth

# Activation of a cell's resistance: about 3 % less per kelvin near 25 °C (rough, from open ageing data).
_RESISTANCE_K = 2600.0
_ZERO_C_K = 273.15


@dataclass(frozen=True)
class Circumstances:
    """What a run is made with, and when: all that its expected speed depends on.

    `settings` holds only those with a stated effect; `packs` pairs a code with which discharge of it this is,
    counted from 1; `head_wind_ms` is None for runs both ways.
    """

    hull: str
    props: str
    packs: tuple[tuple[str, int], ...]
    modifications: frozenset[str] = frozenset()
    settings: Mapping[str, float] = field(default_factory=dict)
    air_c: float = 16.0
    wind_ms: float = 2.5
    pack_c: float = 24.0
    head_wind_ms: float | None = None


def stream(truth: Truth, *names: object) -> Random:
    """Random numbers of their own for one named thing; the same for the same seed and names."""
    return Random(":".join([truth.seed, *map(str, names)]))


def break_in(discharge: int, settle: float) -> float:
    """How much of a pack's break-in is still ahead at its nth discharge: 1 at the first, fading to 0."""
    return math.exp(-(discharge - 1) / settle)


def pack_effect(truth: Truth, code: str, discharge: int) -> float:
    """Log points that a pack gives at its nth discharge, break-in included."""
    pack = truth.packs[code]
    return pack.effect - pack.break_in * break_in(discharge, pack.settle)


def expected_ln_speed(truth: Truth, run: Circumstances) -> float:
    """Natural log of the speed in km/h without any scatter. Two packs at once count by their mean.

    KeyError for a hull, prop or pack without a stated truth; a modification without one has no effect.
    """
    hull, common = truth.hulls[run.hull], truth.common
    ln_speed = math.log(hull.base_kmh) + hull.props[run.props]
    ln_speed += sum(hull.modifications.get(title, 0.0) for title in sorted(run.modifications))
    for key, value in run.settings.items():
        setting = hull.settings[key]
        ln_speed += setting.per_step_squared * ((value - setting.best) / setting.step) ** 2
    ln_speed += sum(pack_effect(truth, code, discharge) for code, discharge in run.packs) / len(run.packs)
    ln_speed += common.air_per_10k * (run.air_c - common.air_mean_c) / 10
    ln_speed += common.wind_per_5ms * (run.wind_ms - common.wind_mean_ms) / 5
    ln_speed += common.pack_per_10k * (run.pack_c - common.pack_mean_c) / 10
    if run.head_wind_ms is not None:
        ln_speed += common.head_wind_per_ms * run.head_wind_ms
    return ln_speed


def day_effect(truth: Truth, day: str) -> float:
    """Log points that all runs of one day share."""
    return stream(truth, "day", day).gauss(0, truth.common.day_sd)


def read_speed_kmh(truth: Truth, run: Circumstances, day: str, how: str, passes: int, draws: Random) -> float:
    """The speed that was written down, in km/h: best of so many passes, read in one of the stated ways."""
    way, common = truth.ways[how], truth.common
    ln_speed = expected_ln_speed(truth, run) + day_effect(truth, day) + way.level
    ln_speed += draws.gauss(0, common.run_sd * math.sqrt(way.noise_ratio))
    ln_speed += max(draws.gauss(0, common.pass_sd) for _ in range(passes))
    return math.exp(ln_speed)


def charge_mah(current_a: float, full_throttle_s: float, duration_s: float) -> float:
    """Charge drawn from a pack: full throttle at `current_a`, the rest at a sixth of it (an assumption)."""
    return (current_a * full_throttle_s + current_a / 6 * (duration_s - full_throttle_s)) / 3.6


def rise_k(truth: Truth, spot: str, current_a: float, full_throttle_s: float) -> float:
    """Rise over the air at one spot after a run, in K: heat goes with the square of the current."""
    return truth.heat[spot] * (current_a / 100) ** 2 * full_throttle_s / 60


def rested_v_per_cell(used_share: float) -> float:
    """Resting voltage of a cell in V after that share of its capacity, 0 to 1, was drawn.

    Straight lines through a hobby cell's usual table (from memory).
    """
    table = ((0.0, 4.20), (0.2, 4.02), (0.4, 3.87), (0.6, 3.80), (0.8, 3.73), (0.9, 3.69), (1.0, 3.27))
    share = min(max(used_share, 0.0), 1.0)
    for (low, at_low), (high, at_high) in zip(table, table[1:], strict=False):
        if share <= high:
            return at_low + (at_high - at_low) * (share - low) / (high - low)
    return table[-1][1]


def cell_mohm(truth: Truth, code: str, discharges: int, temperature_c: float) -> float:
    """Resistance of a pack's cells in mΩ after so many discharges, at that temperature, fully charged."""
    pack = truth.packs[code]
    settled = pack.cell_mohm * (1 + pack.growth * discharges)
    fresh = 1 + 3 * pack.break_in * break_in(discharges + 1, pack.settle)
    kelvin = temperature_c + _ZERO_C_K
    return settled * fresh * math.exp(_RESISTANCE_K * (1 / kelvin - 1 / (25 + _ZERO_C_K)))
