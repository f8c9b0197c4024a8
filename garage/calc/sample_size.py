"""How many runs it takes to see a difference: the power of Student's t test, solved for the number.

J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), by the noncentral t distribution; no
normal approximation, which asks for one or two runs too few where there are few.
"""

import math
from collections.abc import Callable
from statistics import NormalDist

_STEPS = 100
_MORE_STEPS_WITHOUT_FREEDOM = 500
_FURTHEST_TAIL = 7.5
_NORMAL = NormalDist()
MOST_RUNS = 1e6


def runs_per_side(effect: float, power: float = 0.8, confidence: float = 0.95) -> float:
    """Runs on each side, as a fractional number, to see a difference of `effect` standard deviations.

    Two independent groups on equal terms, two-sided. `effect` above zero, `power` and `confidence` between 0 and 1.
    """
    about = 2 * normal_factor(power, confidence) / effect**2
    return _solved(lambda runs: _power(effect * math.sqrt(runs / 2), 2 * runs - 2, confidence), power, about)


def pairs(effect: float, power: float = 0.8, confidence: float = 0.95) -> float:
    """Pairs to see a mean difference of `effect` standard deviations of one pair's difference, two-sided."""
    about = normal_factor(power, confidence) / effect**2
    return _solved(lambda runs: _power(effect * math.sqrt(runs), runs - 1, confidence), power, about)


def normal_factor(power: float = 0.8, confidence: float = 0.95) -> float:
    """(z + z)²: the factor of the normal approximation N = factor × (σ / δ)², two-sided. NIST e-Handbook 7.2.2.2."""
    return (_NORMAL.inv_cdf((1 + confidence) / 2) + _NORMAL.inv_cdf(power)) ** 2


def student_quantile(probability: float, freedom: float) -> float:
    """The value below which Student's t falls with `probability` over a half, at any freedom from 1 on."""
    # Newton's steps from below: the tail is convex there, so each step stays below the answer.
    normal = _NORMAL.inv_cdf(probability)
    value = normal + (normal**3 + normal) / (4 * freedom)
    scale = math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2) - math.log(freedom * math.pi) / 2
    for _ in range(60):
        density = math.exp(scale - (freedom + 1) / 2 * math.log1p(value**2 / freedom))
        step = (_beyond(value, freedom, 0.0) - (1 - probability)) / density
        value += step
        if abs(step) < 1e-9 * value:
            break
    return value


def _power(shift: float, freedom: float, confidence: float) -> float:
    limit = student_quantile((1 + confidence) / 2, freedom)
    # On the far side there is next to nothing once the shift is large.
    other = _beyond(limit, freedom, -shift) if shift < _FURTHEST_TAIL else 0.0
    return _beyond(limit, freedom, shift) + other


def _beyond(limit: float, freedom: float, shift: float) -> float:
    """Probability of a noncentral t above `limit`: over s, the sample's sd by the true one, in even steps.

    s is swept by s = exp(u), where the density of u is smooth, bell-shaped and nothing at both ends, at any freedom:
    there the plain sum converges faster than any power of the step.
    """
    half, exp, erfc = freedom / 2, math.exp, math.erfc
    scale = math.log(2) + half * math.log(half) - math.lgamma(half)
    reach = 7.5 / math.sqrt(2 * freedom)
    low, high = -reach - 40 / freedom**1.5, reach + 1.0 / freedom
    # At one degree of freedom the density falls off slowly to the left.
    steps = round(_STEPS + _MORE_STEPS_WITHOUT_FREEDOM / freedom)
    step = (high - low) / steps
    limit, shift = limit / math.sqrt(2), shift / math.sqrt(2)
    total = 0.0
    for index in range(steps + 1):
        u = low + index * step
        s = exp(u)
        total += exp(scale + freedom * u - half * s * s) * erfc(limit * s - shift)
    return total * step / 2


def _solved(power_at: Callable[[float], float], power: float, guess: float) -> float:
    """The number of runs with that power: between the normal approximation, which is a little under it, and as much
    more as there must be; then regula falsi (Illinois). Infinite beyond a million."""
    if guess > MOST_RUNS:
        return math.inf
    low, wider = max(2.0, guess), 2.5
    under = power_at(low) - power
    if under >= 0:
        if low == 2.0:
            return low
        low = 2.0
        under = power_at(low) - power
        if under >= 0:
            return low
    high = low + wider
    while (over := power_at(high) - power) < 0:
        low, under, wider = high, over, wider * 2
        high = low + wider
    side = 0
    while high - low > 1e-8 * high:
        middle = high - over * (high - low) / (over - under)
        miss = power_at(middle) - power
        if abs(miss) < 1e-10:
            return middle
        if miss < 0:
            low, under, over = middle, miss, over / 2 if side < 0 else over
            side = -1
        else:
            high, over, under = middle, miss, under / 2 if side > 0 else under
            side = 1
    return (low + high) / 2
