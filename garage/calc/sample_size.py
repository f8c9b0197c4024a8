"""How many runs it takes to see a difference: the power of Student's t test, solved for the number.

J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), by the noncentral t distribution; no
normal approximation, which asks for one or two runs too few where there are few.
"""

import math
from collections.abc import Callable
from statistics import NormalDist

_STEPS = 300
_MORE_STEPS_WITHOUT_FREEDOM = 700
_NORMAL = NormalDist()
MOST_RUNS = 1e6


def runs_per_side(effect: float, power: float = 0.8, confidence: float = 0.95) -> float:
    """Runs on each side, as a fractional number, to see a difference of `effect` standard deviations.

    Two independent groups on equal terms, two-sided. `effect` above zero, `power` and `confidence` between 0 and 1.
    """
    return _solved(lambda runs: _power(effect * math.sqrt(runs / 2), 2 * runs - 2, confidence), power)


def pairs(effect: float, power: float = 0.8, confidence: float = 0.95) -> float:
    """Pairs to see a mean difference of `effect` standard deviations of one pair's difference, two-sided."""
    return _solved(lambda runs: _power(effect * math.sqrt(runs), runs - 1, confidence), power)


def normal_factor(power: float = 0.8, confidence: float = 0.95) -> float:
    """(z + z)²: the factor of the normal approximation N = factor × (σ / δ)², two-sided. NIST e-Handbook 7.2.2.2."""
    return (_NORMAL.inv_cdf((1 + confidence) / 2) + _NORMAL.inv_cdf(power)) ** 2


def student_quantile(probability: float, freedom: float) -> float:
    """The value below which Student's t falls with `probability` over a half, at any freedom from 1 on."""
    # Newton's steps from the normal quantile: the tail is convex there, so each step stays below the answer.
    value = _NORMAL.inv_cdf(probability)
    scale = math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2) - math.log(freedom * math.pi) / 2
    for _ in range(60):
        density = math.exp(scale - (freedom + 1) / 2 * math.log1p(value**2 / freedom))
        step = (_beyond(value, freedom, 0.0) - (1 - probability)) / density
        value += step
        if abs(step) < 1e-10 * value:
            break
    return value


def _power(shift: float, freedom: float, confidence: float) -> float:
    limit = student_quantile((1 + confidence) / 2, freedom)
    return _beyond(limit, freedom, shift) + _beyond(limit, freedom, -shift)


def _beyond(limit: float, freedom: float, shift: float) -> float:
    """Probability of a noncentral t above `limit`: over s, the sample's sd by the true one, by Simpson's rule.

    s is swept by s = exp(u), where the density of u is smooth and bell-shaped at any freedom.
    """
    half = freedom / 2
    scale = math.log(2) + half * math.log(half) - math.lgamma(half)
    reach = 9 / math.sqrt(2 * freedom)
    low, high = -reach - 40 / freedom, reach + 1.0 / freedom
    # At one degree of freedom the density falls off slowly to the left.
    steps = 2 * round((_STEPS + _MORE_STEPS_WITHOUT_FREEDOM / freedom) / 2)
    step = (high - low) / steps
    total = 0.0
    for index in range(steps + 1):
        u = low + index * step
        density = math.exp(scale + freedom * u - half * math.exp(2 * u))
        tail = 0.5 * math.erfc((limit * math.exp(u) - shift) / math.sqrt(2))
        total += (1 if index in (0, steps) else 4 if index % 2 else 2) * density * tail
    return total * step / 3


def _solved(power_at: Callable[[float], float], power: float) -> float:
    """The number of runs with that power: doubled until there are enough, then regula falsi (Illinois)."""
    low, high = 2.0, 4.0
    if (under := power_at(low) - power) >= 0:
        return low
    while (over := power_at(high) - power) < 0:
        low, high, under = high, high * 2, over
        if high > MOST_RUNS:
            return math.inf
    side = 0
    while high - low > 1e-8 * high:
        middle = high - over * (high - low) / (over - under)
        miss = power_at(middle) - power
        if abs(miss) < 1e-11:
            return middle
        if miss < 0:
            low, under, over = middle, miss, over / 2 if side < 0 else over
            side = -1
        else:
            high, over, under = middle, miss, under / 2 if side > 0 else under
            side = 1
    return (low + high) / 2
