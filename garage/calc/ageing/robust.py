"""A straight fit that a few wild readings do not move."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

# Residuals beyond so many sigma weigh less (Huber 1964).
_HUBER = 1.345
_ROUNDS = 30
MAD_TO_SIGMA = 1.4826


@dataclass(frozen=True)
class Fit:
    """Coefficients with their standard errors, the robust loss (in units of `scale` squared) and the scale
    of the residuals."""

    coefficients: list[float]
    errors: list[float]
    loss: float
    scale: float


def fit_robustly(columns: Sequence[Sequence[float]], values: Sequence[float], scale: float | None = None) -> Fit:
    """Fit `values` by the rows of `columns`, weighted after Huber; the scale is the median absolute residual,
    unless given. ValueError for fewer rows than columns."""
    # Loaded here, because only the pages about ageing compute anything of this kind.
    import numpy

    design, target = numpy.asarray(columns, dtype=float), numpy.asarray(values, dtype=float)
    rows, unknowns = design.shape
    if rows < unknowns:
        raise ValueError("fewer readings than unknowns")
    weights, spread, answer = numpy.ones(rows), scale or 0.0, numpy.zeros(unknowns)
    for _ in range(_ROUNDS):
        root = numpy.sqrt(weights)
        before, answer = answer, numpy.linalg.lstsq(design * root[:, None], target * root, rcond=None)[0]
        rest = target - design @ answer
        if scale is None:
            spread = max(MAD_TO_SIGMA * float(numpy.median(numpy.abs(rest))), 1e-9)
        weights = numpy.minimum(1.0, _HUBER * spread / numpy.maximum(numpy.abs(rest), 1e-300))
        if numpy.allclose(answer, before, rtol=1e-10, atol=1e-12):
            break
    inverse = numpy.linalg.pinv(design.T @ (design * weights[:, None]))
    degrees = max(rows - unknowns, 1)
    variance = float((weights * rest**2).sum()) / degrees
    errors = numpy.sqrt(numpy.maximum(numpy.diag(inverse) * max(variance, spread**2 * 1e-6), 0.0))
    away = numpy.abs(rest) / spread
    loss = float(numpy.where(away <= _HUBER, away**2, _HUBER * (2 * away - _HUBER)).sum())
    return Fit([float(one) for one in answer], [float(one) for one in errors], loss, spread)


def median(values: Sequence[float]) -> float:
    """The middle value, or the mean of the middle two. ValueError for none."""
    if not values:
        raise ValueError("no values")
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def robust_sigma(values: Sequence[float]) -> float:
    """The standard deviation that the median absolute deviation stands for."""
    middle = median(values)
    return MAD_TO_SIGMA * median([abs(value - middle) for value in values])


def wild(values: Sequence[float], factor: float = 2.0) -> list[int]:
    """The places of positive `values` that are no reading at all: not positive, or more than `factor` away
    from the middle of themselves and up to six neighbours in order."""
    found = [place for place, value in enumerate(values) if not (math.isfinite(value) and value > 0)]
    kept = [place for place in range(len(values)) if place not in set(found)]
    for index, place in enumerate(kept):
        around = [values[near] for near in kept[max(0, index - 3) : index + 4]]
        middle = median(around)
        if len(around) >= 3 and not middle / factor <= values[place] <= middle * factor:
            found.append(place)
    return sorted(found)
