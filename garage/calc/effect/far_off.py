"""Runs far off what the others say.

A slip widens the scatter that it is held against, and so may hide itself (masking). Here the scatter is that of the
other runs: up to three runs are taken out one after the other, the worst first, each with a term of its own about
which nothing is assumed (mean-shift outlier model: Cook and Weisberg 1982, Residuals and Influence in Regression). A
run is far off where its term cannot be 0. Testing from the last one taken out backwards finds slips that hide each
other: Rosner 1983, Technometrics 25 (NIST/SEMATECH e-Handbook 1.3.5.17.3). Both from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from garage.calc.arrays import np
from garage.calc.effect.design import Design
from garage.calc.effect.point import Point, at_point
from garage.calc.effect.posterior import Model, Posterior, fit, scales
from garage.calc.effect.priors import Priors

# Chance that a notebook without any slip has a run told as one, shared out among its runs: own rule.
FALSE_ALARM = 0.05
_MOST_TAKEN_OUT = 3
# One run may be taken out for every so many, else there is too little to hold it against: own rule.
_RUNS_FOR_ONE = 3
# How a run lies in the fit is not known where all else is needed to place it.
_NOT_HELD = 1e-9


def far_off_rows(made: Design, priors: Priors, posterior: Posterior) -> tuple[int, ...]:
    """Positions of the runs far off what the others expect of them, whatever the scatter with them in. `posterior` is
    the fit with all runs in, which its asker has."""
    model, grid = made.model(priors), scales(priors)
    limit = FALSE_ALARM / len(made.runs)
    taken: list[int] = []
    found: tuple[int, ...] = ()
    for _ in range(min(_MOST_TAKEN_OUT, len(made.runs) // _RUNS_FOR_ONE)):
        trial = without(model, taken)
        point = at_point(trial, posterior.mean_sigma, posterior.mean_tau)
        taken.append(_worst(trial, point, taken))
        posterior = fit(without(model, taken), grid)
        sure = []
        for place, _ in enumerate(taken):
            own = np.zeros(model.x.shape[1] + len(taken))
            own[model.x.shape[1] + place] = 1.0
            below = posterior.contrast(own).below(0.0)
            sure.append(2 * min(below, 1 - below) < limit)
        if sure[-1]:
            found = tuple(row for row, is_sure in zip(taken, sure, strict=True) if is_sure)
    return found


def without(model: Model, rows: Sequence[int]) -> Model:
    """The model as if these runs had not been made: each has a term of its own, about which nothing is assumed."""
    own = np.zeros((len(model.y), len(rows)))
    own[list(rows), range(len(rows))] = 1.0
    return replace(
        model,
        x=np.column_stack([model.x, own]),
        prior_mean=np.concatenate([model.prior_mean, np.zeros(len(rows))]),
        prior_sd=np.concatenate([model.prior_sd, np.full(len(rows), np.inf)]),
    )


def _worst(model: Model, point: Point, taken: Sequence[int]) -> int:
    """The run furthest off what all others that are still in expect of it, in its own standard deviations."""
    off, variance = point.residuals_of_runs(model.y, model.prior_mean)
    held = variance > _NOT_HELD * variance.max()
    held[list(taken)] = False
    return int(np.argmax(np.where(held, off**2 / np.where(held, variance, 1.0), -1.0)))
