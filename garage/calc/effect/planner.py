"""The next runs: those that narrow the answer most for their time, on one new day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, permutations, product
from math import comb, prod, sqrt

from garage.calc.arrays import np
from garage.calc.effect.design import Design, design
from garage.calc.effect.point import Point, at_point
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import EffectRun, PackUse

EXHAUSTIVE_UP_TO = 6000
MOST_RUNS = 8
# A plan that narrows the answer by less than this settles nothing.
MOST_CANDIDATES = 500
WORTH_MAKING = 0.15
# An hour more at the water must narrow the answer by 1 % to be worth it: an assumption.
_WEIGHT_PER_MINUTE = 0.01 / 60
SETUP_MINUTES, CHARGE_MINUTES = 15.0, 60.0
HALF_WIDTH_90 = 1.6448536269514722
MOST_OUTINGS = 12
_NEW_DAY = "\x00planned {}"


@dataclass(frozen=True)
class Available:
    """What the next runs may use: values of each factor, props, packs with their next discharge (None: broken in)."""

    factors: Mapping[str, tuple[float, ...]]
    props: tuple[str, ...]
    packs: Mapping[str, int | None]
    air_c: float | None = None
    wind_ms: float | None = None


@dataclass(frozen=True)
class Planned:
    """One run to make. `discharge` is which of its pack it will be, None for a pack that is broken in."""

    factors: Mapping[str, float]
    prop: str
    pack: str
    discharge: int | None = None


@dataclass(frozen=True)
class Plan:
    """Runs in the order to make them, and the standard deviation of the answer in log points now and after them."""

    runs: tuple[Planned, ...]
    sd_now: float
    sd_after: float
    minutes: float

    @property
    def narrows_by(self) -> float:
        """Share by which the interval gets narrower."""
        return 1 - self.sd_after / self.sd_now

    @property
    def is_worth_making(self) -> bool:
        """Whether it narrows the answer by at least 15 %."""
        return self.narrows_by >= WORTH_MAKING


@dataclass(frozen=True)
class _Setting:
    """Everything a plan is judged by: the candidates' rows in the model that knows them all."""

    candidates: tuple[Planned, ...]
    counted: Mapping[str, int | None]
    point: Point
    toward: np.ndarray
    between: np.ndarray
    asked: np.ndarray
    sd_now: float
    repeats: int


def best_plan(made: Design, priors: Priors, sigma: float, tau: float, available: Available, count: int) -> Plan | None:
    """The best `count` runs (1 to 8) on one new day; None when nothing is available.

    Every choice is tried while there are at most 6,000, else runs are added one by one, the best first, and then
    exchanged while that helps.
    """
    if not 1 <= count <= MOST_RUNS:
        raise ValueError(f"A plan has 1 to {MOST_RUNS} runs.")
    candidates = _candidates(available)
    if not candidates:
        return None
    setting = _setting(made, priors, sigma, tau, available, candidates, count)
    if comb(len(candidates) + count - 1, count) <= EXHAUSTIVE_UP_TO:
        choices = np.array(list(combinations_with_replacement(range(len(candidates)), count)))
        chosen = tuple(choices[_best(setting, choices)])
    else:
        chosen = _greedy(setting, count)
    ordered = _count_on([candidates[index] for index in _ordered(chosen, setting)], available.packs)
    return Plan(ordered, setting.sd_now, sd_after(made, priors, sigma, tau, [ordered], available), _minutes(ordered))


def sd_after(
    made: Design, priors: Priors, sigma: float, tau: float, days: Sequence[Sequence[Planned]], available: Available
) -> float:
    """Standard deviation of the answer, in log points, once these runs were made, each list on a day of its own."""
    more = [_as_run(planned, available, _NEW_DAY.format(day)) for day, runs in enumerate(days) for planned in runs]
    extended = _extended(made, more, priors)
    return sqrt(at_point(extended.model(priors), sigma, tau).variance(extended.contrast))


def outings_needed(
    made: Design, priors: Priors, sigma: float, tau: float, plan: Plan, available: Available, target_ln: float
) -> int | None:
    """After how many outings like the plan the 90 % half-width is at most `target_ln`; None if not within 12."""
    packs = dict(available.packs)
    days: list[tuple[Planned, ...]] = []
    for outing in range(1, MOST_OUTINGS + 1):
        days.append(_count_on(plan.runs, packs))
        for run in plan.runs:
            discharge = packs.get(run.pack)
            packs[run.pack] = None if discharge is None else discharge + 1
        if HALF_WIDTH_90 * sd_after(made, priors, sigma, tau, days, available) <= target_ln:
            return outing
    return None


def _candidates(available: Available) -> tuple[Planned, ...]:
    props, packs = list(available.props or ("",)), list(available.packs or ("",))
    levels = _within(available.factors, MOST_CANDIDATES // (len(props) * len(packs)))
    states = [dict(zip(levels, values, strict=True)) for values in product(*levels.values())]
    every = [Planned(state, prop, pack) for state in states for prop in props for pack in packs]
    # With very many packs and props a plan is chosen among those that stand first.
    return tuple(every[:MOST_CANDIDATES])


def _within(factors: Mapping[str, Sequence[float]], most: int) -> dict[str, Sequence[float]]:
    """Levels of each factor with at most `most` states in all: the later factors stay at their last level.

    Memory grows with the square of the candidates, and a hull with a dozen removable things has thousands of states.
    """
    levels = dict(factors)
    for name in list(levels)[:0:-1]:
        if prod(len(values) for values in levels.values()) <= most:
            break
        levels[name] = levels[name][-1:]
    return levels


def _as_run(planned: Planned, available: Available, outing: str) -> EffectRun:
    packs = (PackUse(planned.pack, planned.discharge),) if planned.pack else ()
    return EffectRun(
        key="",
        outcome=1.0,
        outing=outing,
        packs=packs,
        prop=planned.prop,
        factors=planned.factors,
        air_c=available.air_c,
        wind_ms=available.wind_ms,
    )


def _extended(made: Design, more: Sequence[EffectRun], priors: Priors) -> Design:
    return design([*made.runs, *more], made.factors, made.question, priors)


def _setting(
    made: Design,
    priors: Priors,
    sigma: float,
    tau: float,
    available: Available,
    candidates: Sequence[Planned],
    count: int,
) -> _Setting:
    rows = [
        _as_run(
            replace(candidate, discharge=_later(available.packs.get(candidate.pack), use)),
            available,
            _NEW_DAY.format(0),
        )
        for candidate in candidates
        for use in range(count)
    ]
    union = _extended(made, rows, priors)
    model = union.model(priors)
    n = len(made.runs)
    point = at_point(replace(model, x=model.x[:n], y=model.y[:n], outing=model.outing[:n], k=model.k[:n]), sigma, tau)
    new = np.column_stack([np.ones(len(rows)), model.x[n:] - model.x[:n].mean(axis=0)])
    spread = np.linalg.solve(point.precision, new.T)
    toward = new @ point.solve(union.contrast)
    asked = new[:, 1:] @ union.contrast
    sd_now = sqrt(point.variance(union.contrast))
    return _Setting(tuple(candidates), available.packs, point, toward, new @ spread, asked, sd_now, count)


def _later(discharge: int | None, uses: int) -> int | None:
    return None if discharge is None else discharge + uses


def _rows(setting: _Setting, choices: np.ndarray) -> np.ndarray:
    """Row of each chosen run: a pack counts on with every run of the plan that uses it."""
    packs = np.array(
        [list(setting.counted).index(c.pack) if c.pack in setting.counted else -1 for c in setting.candidates]
    )
    of = packs[choices]
    uses = np.stack(
        [(of[:, :place] == of[:, place : place + 1]).sum(axis=1) for place in range(choices.shape[1])], axis=1
    )
    return choices * setting.repeats + uses


def _sds(setting: _Setting, choices: np.ndarray) -> np.ndarray:
    """Standard deviation of the answer after each choice (one new day), by Woodbury's identity: k by k only."""
    rows = _rows(setting, choices)
    size = choices.shape[1]
    noise = setting.point.sigma**2 * np.eye(size) + setting.point.tau**2
    inner = noise + setting.between[rows[:, :, None], rows[:, None, :]]
    toward = setting.toward[rows]
    gained = (toward * np.linalg.solve(inner, toward[..., None])[..., 0]).sum(axis=1)
    return np.sqrt(np.maximum(setting.sd_now**2 - gained, 0.0))


def _best(setting: _Setting, choices: np.ndarray) -> int:
    sds = _sds(setting, choices)
    # Only plans that could win by their time need an order and a cost.
    near = np.flatnonzero(sds <= sds.min() * 1.05)[:200]
    cost = {int(at): sds[at] * (1 + _WEIGHT_PER_MINUTE * _minutes(_runs(setting, tuple(choices[at])))) for at in near}
    return min(cost, key=lambda at: cost[at])


def _runs(setting: _Setting, chosen: tuple[int, ...]) -> list[Planned]:
    return [setting.candidates[index] for index in chosen]


def _greedy(setting: _Setting, count: int) -> tuple[int, ...]:
    every = range(len(setting.candidates))
    chosen: tuple[int, ...] = ()
    for _ in range(count):
        chosen = _improved(setting, [(*chosen, index) for index in every])
    for _ in range(3):
        before = chosen
        for place in range(count):
            chosen = _improved(setting, [chosen[:place] + (index,) + chosen[place + 1 :] for index in every])
        if chosen == before:
            break
    return tuple(sorted(chosen))


def _improved(setting: _Setting, choices: list[tuple[int, ...]]) -> tuple[int, ...]:
    return choices[int(np.argmin(_sds(setting, np.array(choices))))]


def _minutes(runs: Sequence[Planned]) -> float:
    """Time at the water beside the runs: each change of setup, and each charge of a pack used again."""
    changes = len({_setup(run) for run in runs}) - 1
    charges = len(runs) - len({run.pack for run in runs})
    return changes * SETUP_MINUTES + charges * CHARGE_MINUTES


def _setup(run: Planned) -> tuple:
    return tuple(sorted(run.factors.items())), run.prop


def _ordered(chosen: tuple[int, ...], setting: _Setting) -> tuple[int, ...]:
    """Against drift through the day: what is asked about is as early as late on average (A B B A), few changes."""
    level = {index: float(setting.asked[index * setting.repeats]) for index in set(chosen)}
    if len(chosen) > 6:
        return _snake(chosen, level, setting)
    middle = (len(chosen) - 1) / 2

    def unrest(order: tuple[int, ...]) -> tuple:
        drift = abs(sum(level[index] * (place - middle) for place, index in enumerate(order)))
        runs = _runs(setting, order)
        return (
            round(drift, 9),
            sum(_setup(first) != _setup(second) for first, second in zip(runs, runs[1:], strict=False)),
            sum(first.pack != second.pack for first, second in zip(runs, runs[1:], strict=False)),
            -level[order[0]],
            order,
        )

    return min(set(permutations(chosen)), key=unrest)


def _snake(chosen: tuple[int, ...], level: Mapping[int, float], setting: _Setting) -> tuple[int, ...]:
    high_first = sorted(chosen, key=lambda index: (-level[index], setting.candidates[index].pack))
    half = len(high_first) // 2
    pairs = list(zip(high_first[:half], reversed(high_first[half:]), strict=False))
    order = [index for at, pair in enumerate(pairs) for index in (pair if at % 2 == 0 else pair[::-1])]
    return tuple(order + ([high_first[-1]] if len(high_first) % 2 else []))


def _count_on(runs: Sequence[Planned], packs: Mapping[str, int | None]) -> tuple[Planned, ...]:
    def numbered() -> Iterator[Planned]:
        used: dict[str, int] = {}
        for run in runs:
            yield replace(run, discharge=_later(packs.get(run.pack), used.get(run.pack, 0)))
            used[run.pack] = used.get(run.pack, 0) + 1

    return tuple(numbered())


def smallest_found_percent(sigma: float, runs_a_side: int) -> float:
    """Gain in percent found 4 times in 5 by n runs with and n without on one day, in turn: 2.8 sigma sqrt(2 / n).

    2.8 is the sum of the normal quantiles for 97.5 % and 80 %. ValueError below one run a side.
    """
    if runs_a_side < 1:
        raise ValueError("At least one run on each side is needed.")
    return 100 * 2.8 * sigma * sqrt(2 / runs_a_side)
