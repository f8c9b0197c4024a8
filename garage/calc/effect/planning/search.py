"""Choosing runs: how far each choice would narrow the answer, all choices or the best one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement
from math import sqrt

from garage.calc.arrays import np
from garage.calc.effect.design import Design, design
from garage.calc.effect.planning.plans import Available, Planned, as_run, least_minutes, used_again
from garage.calc.effect.point import Point, at_point
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import EffectRun

# An hour more at the water must narrow the answer by 1 % to be worth it: an assumption.
_WEIGHT_PER_MINUTE = 0.01 / 60
_NEAR_THE_BEST, _MOST_WEIGHED = 1.05, 200
_ROUNDS_OF_EXCHANGE = 3
_NEW_DAY = "\x00planned {}"


@dataclass(frozen=True)
class Search:
    """Everything a choice is judged by: the candidates' rows in the model that knows them all.

    A candidate has a row for each time its pack may be used that day, `repeats` of them.
    """

    candidates: tuple[Planned, ...]
    available: Available
    point: Point
    toward: np.ndarray
    between: np.ndarray
    asked: np.ndarray
    sd_now: float
    repeats: int

    def level(self, index: int) -> float:
        """How far a candidate has what is asked about."""
        return float(self.asked[index * self.repeats])


def new_day(number: int) -> str:
    """The name of a planned day, unlike any a person writes."""
    return _NEW_DAY.format(number)


def extended(made: Design, more: Sequence[EffectRun], priors: Priors) -> Design:
    """The matrix with these runs appended: columns and centring are made anew."""
    return design([*made.runs, *more], made.factors, made.question, priors)


def search(
    made: Design,
    priors: Priors,
    scatters: tuple[float, float],
    available: Available,
    candidates: Sequence[Planned],
    count: int,
) -> Search:
    """Make ready for choosing `count` runs, at these scatters from run to run and from day to day."""
    rows = [
        as_run(used_again(candidate, available, use), available, new_day(0))
        for candidate in candidates
        for use in range(count)
    ]
    union = extended(made, rows, priors)
    model = union.model(priors)
    n = len(made.runs)
    known = replace(model, x=model.x[:n], y=model.y[:n], outing=model.outing[:n], k=model.k[:n])
    point = at_point(known, *scatters)
    new = np.column_stack([np.ones(len(rows)), model.x[n:] - model.x[:n].mean(axis=0)])
    spread = np.linalg.solve(point.precision, new.T)
    toward = new @ point.solve(union.contrast)
    asked = new[:, 1:] @ union.contrast
    sd_now = sqrt(point.variance(union.contrast))
    return Search(tuple(candidates), available, point, toward, new @ spread, asked, sd_now, count)


def best_of_all(setting: Search, count: int) -> tuple[int, ...]:
    """The best choice of all there are, by the width it leaves and the time it takes."""
    choices = _allowed(setting, np.array(list(combinations_with_replacement(range(len(setting.candidates)), count))))
    sds = _sds(setting, choices)
    # Only plans that could win by their time need a cost.
    near = np.flatnonzero(sds <= sds.min() * _NEAR_THE_BEST)[:_MOST_WEIGHED]
    cost = {
        int(at): sds[at] * (1 + _WEIGHT_PER_MINUTE * least_minutes([setting.candidates[each] for each in choices[at]]))
        for at in near
    }
    return tuple(choices[min(cost, key=lambda at: cost[at])])


def one_by_one(setting: Search, count: int) -> tuple[int, ...]:
    """A choice made by adding the best run each time, then exchanging single runs while that helps."""
    every = range(len(setting.candidates))
    chosen: tuple[int, ...] = ()
    for _ in range(count):
        chosen = _improved(setting, [(*chosen, index) for index in every])
    for _ in range(_ROUNDS_OF_EXCHANGE):
        before = chosen
        for place in range(count):
            chosen = _improved(setting, [chosen[:place] + (index,) + chosen[place + 1 :] for index in every])
        if chosen == before:
            break
    return tuple(sorted(chosen))


def _improved(setting: Search, choices: list[tuple[int, ...]]) -> tuple[int, ...]:
    allowed = _allowed(setting, np.array(choices))
    return tuple(allowed[int(np.argmin(_sds(setting, allowed)))].tolist())


def _packs(setting: Search) -> np.ndarray:
    """A number for the pack of each candidate."""
    places = {pack: place for place, pack in enumerate(setting.available.packs)}
    return np.array([places.get(candidate.pack, -1) for candidate in setting.candidates])


def _allowed(setting: Search, choices: np.ndarray) -> np.ndarray:
    """Those choices that use no pack more often than it may run."""
    most = setting.available.most_uses
    if most is None:
        return choices
    of = _packs(setting)[choices]
    return choices[((of[:, :, None] == of[:, None, :]).sum(axis=2) <= most).all(axis=1)]


def _rows(setting: Search, choices: np.ndarray) -> np.ndarray:
    """Row of each chosen run: a pack counts on with every run of the plan that uses it."""
    of = _packs(setting)[choices]
    uses = np.stack(
        [(of[:, :place] == of[:, place : place + 1]).sum(axis=1) for place in range(choices.shape[1])], axis=1
    )
    return choices * setting.repeats + uses


def _sds(setting: Search, choices: np.ndarray) -> np.ndarray:
    """Standard deviation of the answer after each choice (one new day), by Woodbury's identity: k by k only."""
    rows = _rows(setting, choices)
    size = choices.shape[1]
    noise = setting.point.sigma**2 * np.eye(size) + setting.point.tau**2
    inner = noise + setting.between[rows[:, :, None], rows[:, None, :]]
    toward = setting.toward[rows]
    gained = (toward * np.linalg.solve(inner, toward[..., None])[..., 0]).sum(axis=1)
    return np.sqrt(np.maximum(setting.sd_now**2 - gained, 0.0))
