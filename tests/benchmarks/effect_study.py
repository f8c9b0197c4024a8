"""How well the method does where the truth is known. Prints the tables of docs/effect.md:

nice -n 10 python -m tests.benchmarks.effect_study [replicates]
"""

from __future__ import annotations

import math
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from garage.calc.effect.design import design
from garage.calc.effect.posterior import fit, scales
from garage.calc.effect.priors import DEFAULT_PRIORS, wide
from garage.calc.effect.verdict import CANNOT_TELL, GAIN, LOSS, SURE, effect_of, verdict
from tests.benchmarks.effect_world import World, draw

CASES = ("A", "C", "D", "E", "F", "G")
# Quantiles of Student's t: 95 % and 97.5 % by degrees of freedom (tables, from memory; exact to the digits).
_T_95 = {2: 2.919986, 4: 2.131847, 5: 2.015048, 6: 1.943180, 10: 1.812461}
_T_975 = {2: 4.302653, 4: 2.776445, 5: 2.570582, 6: 2.446912, 10: 2.228139}
BROKEN = {
    "day sd 3 %": World(day_sd=0.03),
    "pack sd 7 %": World(pack_sd=0.07),
    "heavy tails (t, 3 df)": World(heavy_tails=True),
    "time constant 5": World(time_constant=5.0),
    "driver gains 3 % over the notebook": World(learning=0.03),
}


@dataclass(frozen=True)
class Tally:
    """Means over replicates of one case. Biases in points; the rest are shares of replicates."""

    naive_bias: float
    naive_cover: float
    naive_false: float
    bias: float
    cover_80: float
    cover_90: float
    cover_95: float
    sure: float
    gain: float
    wrong: float
    cannot_tell: float


def study(case: str, replicates: int, gain_points: float = 0.0, world: World | None = None, seed: int = 1) -> Tally:
    """Draw notebooks with a true gain in points (log x 100), answer each, and count.

    A fixed seed gives the same figures.
    """
    draws = np.random.default_rng([seed, CASES.index(case), round(gain_points * 100)])
    truth = gain_points / 100
    rows = [_one(case, truth, world or World(), draws) for _ in range(replicates)]
    return Tally(*(float(value) for value in np.array(rows, dtype=float).mean(axis=0)))


def _one(case: str, truth: float, world: World, draws: np.random.Generator) -> tuple:
    drawn = draw(case, truth, world, draws)
    made = design(drawn.runs, drawn.factors, drawn.question, DEFAULT_PRIORS)
    mixture = fit(made.model(DEFAULT_PRIORS), scales(DEFAULT_PRIORS)).contrast(made.contrast)
    effect = effect_of(mixture)
    # Where the truth lies in the distribution: within 10 to 90 % is covered by the 80 % interval, and so on.
    at = mixture.below(truth)
    sure = effect.probability_gain >= SURE or effect.probability_gain <= 1 - SURE
    # The wider assumptions have a say only where something would be claimed.
    wider = wide(DEFAULT_PRIORS)
    doubted = effect_of(fit(made.model(wider), scales(wider)).contrast(made.contrast)) if sure else effect
    said = verdict(effect, doubted)
    wrong = (said == GAIN and truth <= 0) or (said == LOSS and truth >= 0)
    return (
        *_naive(made.y, drawn.naive, truth),
        100 * (mixture.mean - truth),
        0.10 <= at <= 0.90,
        0.05 <= at <= 0.95,
        0.025 <= at <= 0.975,
        sure,
        said == GAIN,
        wrong,
        said == CANNOT_TELL,
    )


def _naive(y: np.ndarray, sides: tuple[list[int], list[int]], truth: float) -> tuple[float, bool, bool]:
    """Difference of means with a pooled t interval, as if nothing else had changed."""
    first, second = y[sides[0]], y[sides[1]]
    free = len(first) + len(second) - 2
    pooled = (first.var() * len(first) + second.var() * len(second)) / free
    se = math.sqrt(pooled * (1 / len(first) + 1 / len(second)))
    difference = float(first.mean() - second.mean())
    return 100 * (difference - truth), abs(difference - truth) <= _T_95[free] * se, abs(difference) > _T_975[free] * se


def _job(job: tuple) -> tuple[tuple, Tally]:
    case, replicates, gain, name = job
    return job, study(case, replicates, gain, BROKEN.get(name))


def main(replicates: int = 2000, cases: str = "".join(CASES)) -> None:
    """Print the tables in Markdown."""
    jobs = [(case, replicates, gain, "") for case in cases for gain in (0.0, 4.0, 8.0)]
    jobs += [(case, replicates, 0.0, name) for name in BROKEN for case in cases]
    with ProcessPoolExecutor(int(os.environ.get("STUDY_PROCESSES", "1"))) as pool:
        found = dict(pool.map(_job, jobs))
    print(f"{replicates} replicates a case.\n")
    print(
        "| case, true gain 0 | naive: bias, cover of 90 %, false verdict | this: bias, cover 80/90/95 | P .975 alone |"
    )
    print("|---|---|---|---|")
    for case in cases:
        t = found[case, replicates, 0.0, ""]
        print(
            f"| {case} | {t.naive_bias:+.2f}, {t.naive_cover:.2f}, {t.naive_false:.2f} "
            f"| {t.bias:+.2f}, {t.cover_80:.2f}/{t.cover_90:.2f}/{t.cover_95:.2f} | {t.sure:.3f} |"
        )
    print("\n| case | false verdicts by the rule | found at +4 | found at +8 points | bias at +8 | cannot tell, at 0 |")
    print("|---|---|---|---|---|---|")
    for case in cases:
        none, four, eight = (found[case, replicates, gain, ""] for gain in (0.0, 4.0, 8.0))
        print(
            f"| {case} | {none.wrong:.3f} | {four.gain:.2f} | {eight.gain:.2f} | {eight.bias:+.1f} "
            f"| {none.cannot_tell:.2f} |"
        )
    print(f"\n| where the world is not as assumed: false verdicts, bias, cover of 90 % | {' | '.join(cases)} |")
    print("|---" * (len(cases) + 1) + "|")
    for name in BROKEN:
        tallies = [found[case, replicates, 0.0, name] for case in cases]
        cells = [f"{t.wrong:.3f}, {t.bias:+.1f}, {t.cover_90:.2f}" for t in tallies]
        print(f"| {name} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:2]), *sys.argv[2:3])
