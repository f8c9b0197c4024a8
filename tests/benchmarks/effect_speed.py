"""How long an answer takes, as a ratio to statsmodels' least squares on the same matrix in the same run.

python -m tests.benchmarks.effect_speed
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable
from functools import partial

import numpy as np

from garage.calc.effect.answer import answer
from garage.calc.effect.design import Design, design
from garage.calc.effect.posterior import fit, scales
from garage.calc.effect.priors import DEFAULT_PRIORS
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question
from garage.calc.effect.verdict import effect_of
from tests.benchmarks.effect_world import World, draw
from tests.late import Late

sm = Late("statsmodels.api")
QUESTION = Question("change", "c0")
LIMITS = {30: 5.0, 10_000: 20.0}
GROWTH = (1_000, 10_000, 100_000)


def notebook(runs: int, changes: int, outings: int, seed: int = 1) -> tuple[list[EffectRun], list[Factor]]:
    """An invented notebook of that size."""
    draws = np.random.default_rng(seed)
    names = [f"c{n}" for n in range(changes)]
    made = [
        EffectRun(
            key=str(place),
            outcome=float(58 * np.exp(draws.normal(0, 0.02))),
            outing=f"d{place * outings // runs}",
            packs=(PackUse(f"K{draws.integers(4)}", int(draws.integers(1, 30))),),
            prop=f"P{draws.integers(3)}",
            factors=dict(zip(names, draws.integers(0, 2, changes).astype(float).tolist(), strict=True)),
            air_c=float(draws.normal(20, 5)),
            wind_ms=float(abs(draws.normal(2, 1))),
        )
        for place in range(runs)
    ]
    return made, [Factor(name) for name in names]


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Shortest of some rounds, in seconds."""
    best = np.inf
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return float(best)


def effect(made: Design) -> object:
    """The effect with its interval, from the matrix."""
    return effect_of(fit(made.model(DEFAULT_PRIORS), scales(DEFAULT_PRIORS)).contrast(made.contrast))


def least_squares(made: Design) -> object:
    """statsmodels' coefficients with their intervals, from the same matrix."""
    return sm.OLS(made.y, sm.add_constant(made.x)).fit().conf_int(0.10)


def main() -> None:
    """Print the ratios, and how the time grows with the number of runs."""
    # Least squares cannot tell every level of every prop and pack from the intercept, and says so.
    warnings.simplefilter("ignore")
    season = draw("G", 0.0, World(), np.random.default_rng(1))
    cases = {
        30: (season.runs, season.factors, season.question),
        10_000: (*notebook(10_000, 80, 1500), QUESTION),
    }
    for runs, case in cases.items():
        made = design(*case, DEFAULT_PRIORS)
        rounds = 60 if runs < 1000 else 3
        ours, theirs = seconds(partial(effect, made), rounds), seconds(partial(least_squares, made), rounds)
        print(
            f"{runs} runs, {made.x.shape[1]} columns: effect {ours:.4f} s, least squares {theirs:.4f} s, "
            f"ratio {ours / theirs:.1f} (at most {LIMITS[runs]:g})"
        )
    for runs in GROWTH:
        read, factors = notebook(runs, 20, runs // 7)
        made = design(read, factors, QUESTION, DEFAULT_PRIORS)
        ours, whole = seconds(partial(effect, made), 2), seconds(partial(answer, read, factors, QUESTION), 2)
        print(
            f"{runs} runs, 20 changes, {runs // 7} outings: effect {ours:.3f} s, whole answer {whole:.2f} s, "
            f"{1e6 * whole / runs:.0f} µs a run"
        )


if __name__ == "__main__":
    main()
