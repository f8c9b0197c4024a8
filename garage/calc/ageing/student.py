"""Quantiles of Student's t for whole degrees of freedom, from the finite sums (Abramowitz and Stegun 26.7.3
and 26.7.4)."""

import math


def t_probability(t: float, degrees: int) -> float:
    """The probability that |T| stays below `t` >= 0."""
    angle = math.atan(t / math.sqrt(degrees))
    cosine2 = math.cos(angle) ** 2
    if degrees % 2:
        term = math.cos(angle)
        total = term if degrees > 1 else 0.0
        for step in range(3, degrees - 1, 2):
            term *= cosine2 * (step - 1) / step
            total += term
        return (angle + math.sin(angle) * total) * 2 / math.pi
    term = total = 1.0
    for step in range(2, degrees - 1, 2):
        term *= cosine2 * (step - 1) / step
        total += term
    return math.sin(angle) * total


def t_quantile(confidence: float, degrees: int) -> float:
    """The t that |T| stays below with probability `confidence`. ValueError unless 0 < confidence < 1 and
    degrees >= 1."""
    if not 0 < confidence < 1 or degrees < 1:
        raise ValueError("no such quantile")
    low, high = 0.0, 1.0
    while t_probability(high, degrees) < confidence:
        high *= 2
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if t_probability(middle, degrees) < confidence else (low, middle)
    return (low + high) / 2
