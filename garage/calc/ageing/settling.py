"""Whether a pack settled: a resistance that fell and came to rest, told from one that was flat all along.

ln R25 = a + G exp(-(c - 1)/k), tried with six k, is kept only if it beats the flat line by the Bayesian
information criterion. "Three readings alike" is 40 to 98 % too early, and is not used.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.ageing.robust import Fit, fit_robustly

PACES = (1.0, 1.5, 2.0, 3.0, 4.0, 6.0)
# Within so much of where it comes to rest, a pack counts as settled.
NEAR = 0.02
FEWEST = 6


@dataclass(frozen=True)
class Settling:
    """What readings of the first cycles say. `cycle` is when the pack had settled, None where that is not
    proven; `fell` is the share by which resistance was higher at the first cycle; `gain` is by how much the
    criterion favours settling (above 0 it does)."""

    cycle: float | None
    fell: float
    gain: float
    count: int


def settling(cycles: Sequence[float], resistances: Sequence[float]) -> Settling:
    """What readings at 25 °C from the cycles 1 on say about settling. Fewer than 6 prove nothing."""
    count = len(cycles)
    if count < FEWEST or len(set(cycles)) < 4:
        return Settling(None, 0.0, 0.0, count)
    logs = [math.log(resistance) for resistance in resistances]
    fits = [(pace, _fit(cycles, logs, pace)) for pace in PACES]
    pace, best = min(fits, key=lambda pair: pair[1].scale * pair[1].loss)
    # Both are judged by one scale, that of the better fit: otherwise a poor fit forgives itself.
    scale = max(_fit_scale(best, count), 1e-4)
    flat = fit_robustly([[1.0]] * count, logs, scale)
    pace, best = min(((pace, _fit(cycles, logs, pace, scale)) for pace in PACES), key=lambda pair: pair[1].loss)
    # G and k are two more numbers than the flat line has.
    gain = flat.loss - best.loss - 2 * math.log(count)
    fell = best.coefficients[1]
    if gain <= 0 or fell <= NEAR:
        return Settling(None, 0.0, gain, count)
    return Settling(1 + pace * math.log(fell / NEAR), math.expm1(fell), gain, count)


def _fit(cycles: Sequence[float], logs: Sequence[float], pace: float, scale: float | None = None) -> Fit:
    return fit_robustly([[1.0, math.exp(-(cycle - 1) / pace)] for cycle in cycles], logs, scale)


def _fit_scale(fit: Fit, count: int) -> float:
    """The scale of residuals, a little wider for few readings: the fit has taken three of them up."""
    return fit.scale * math.sqrt(count / max(count - 3, 1))
