"""Ratings in five ordered steps: how likely a run with is rated above a run without.

Steps are ordered but not equal, so means of them say little. The chance that one run is rated above another (ties count
half) needs the order alone. Whether it is more than luck: the share of all ways to deal the ratings to the two sides
that come out as far apart (a permutation test, by enumeration or, for many runs, by the normal law with ties). The
interval of the chance: its standard error after Hanley and McNeil 1982 (from memory), on the logit scale.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from garage.calc.effect.runs import normal_below

_ENUMERATED_UP_TO = 20_000
_Z_90 = 1.6448536269514722


@dataclass(frozen=True)
class Rated:
    """`chance_above` of a run with being rated above one without, its 90 % interval, and a two-sided p-value."""

    chance_above: float
    interval_90: tuple[float, float]
    p_value: float


def compare_ratings(having: Sequence[int], lacking: Sequence[int]) -> Rated:
    """Compare two sides of ratings. ValueError when one of them is empty."""
    if not having or not lacking:
        raise ValueError("Ratings are needed on both sides.")
    wins = _wins(having, lacking)
    pairs = len(having) * len(lacking)
    chance = wins / pairs
    return Rated(chance, _interval(chance, len(having), len(lacking)), _p_value(having, lacking))


def _wins(having: Sequence[int], lacking: Sequence[int]) -> float:
    return sum((a > b) + 0.5 * (a == b) for a in having for b in lacking)


def _interval(chance: float, n: int, m: int) -> tuple[float, float]:
    # Pulled in by half a pair, so that a clean sweep of few runs does not pass for certainty.
    inner = (chance * n * m + 0.5) / (n * m + 1)
    q1, q2 = inner / (2 - inner), 2 * inner**2 / (1 + inner)
    variance = (inner * (1 - inner) + (n - 1) * (q1 - inner**2) + (m - 1) * (q2 - inner**2)) / (n * m)
    logit = math.log(inner / (1 - inner))
    width = _Z_90 * math.sqrt(variance) / (inner * (1 - inner))
    low, high = (1 / (1 + math.exp(-(logit + sign * width))) for sign in (-1, 1))
    return low, high


def _p_value(having: Sequence[int], lacking: Sequence[int]) -> float:
    every = [*having, *lacking]
    n, total = len(having), len(every)
    middle = n * len(lacking) / 2
    seen = abs(_wins(having, lacking) - middle)
    if math.comb(total, n) <= _ENUMERATED_UP_TO:
        # The number of wins follows from the sum of ranks, ties sharing theirs.
        ranks = [sum(other < value for other in every) + (every.count(value) + 1) / 2 for value in every]
        offset = n * (n + 1) / 2 + middle
        sums = [abs(sum(chosen) - offset) for chosen in combinations(ranks, n)]
        return sum(far >= seen - 1e-9 for far in sums) / len(sums)
    ties = sum(every.count(value) ** 3 - every.count(value) for value in set(every))
    variance = n * len(lacking) / 12 * (total + 1 - ties / (total * (total - 1)))
    return 1.0 if variance == 0 else min(1.0, 2 * normal_below(-max(seen - 0.5, 0.0) / math.sqrt(variance)))
