"""The order of planned runs: what drifts through the day must not be taken for an effect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import permutations

from garage.calc.effect.planning.plans import Planned, changes

# Up to so many runs every order is looked at.
_EVERY_ORDER_UP_TO = 6


def in_order(chosen: tuple[int, ...], candidates: Sequence[Planned], level: Mapping[int, float]) -> tuple[int, ...]:
    """The chosen candidates in the order to run them: what is asked about (its `level` in each) is as early as late on
    average (A B B A); then few changes of setup; then no pack twice in a row, so that it can rest and be charged."""
    if len(chosen) > _EVERY_ORDER_UP_TO:
        return _snake(chosen, candidates, level)
    middle = (len(chosen) - 1) / 2

    def unrest(order: tuple[int, ...]) -> tuple:
        drift = abs(sum(level[index] * (place - middle) for place, index in enumerate(order)))
        runs = [candidates[index] for index in order]
        return (
            round(drift, 9),
            changes(runs),
            sum(first.pack == second.pack for first, second in zip(runs, runs[1:], strict=False)),
            -level[order[0]],
            order,
        )

    return min(set(permutations(chosen)), key=unrest)


def _snake(chosen: tuple[int, ...], candidates: Sequence[Planned], level: Mapping[int, float]) -> tuple[int, ...]:
    high_first = sorted(chosen, key=lambda index: (-level[index], candidates[index].pack))
    half = len(high_first) // 2
    pairs = list(zip(high_first[:half], reversed(high_first[half:]), strict=False))
    order = [index for at, pair in enumerate(pairs) for index in (pair if at % 2 == 0 else pair[::-1])]
    # Of an odd number one has no partner: it is neither early nor late.
    alone = high_first[half : len(high_first) - half]
    return (*order[:half], *alone, *order[half:])
