"""What the next runs may use, one planned run, and a whole plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from math import prod

from garage.calc.effect.runs import EffectRun, PackUse

MOST_CANDIDATES = 500
# A plan that narrows the answer by less than this settles nothing.
WORTH_MAKING = 0.15
SETUP_MINUTES, CHARGE_MINUTES = 15.0, 60.0


@dataclass(frozen=True)
class Available:
    """What the next runs may use: values of each factor, props, packs with their next discharge (None: broken in).

    `states` are factors that change together only, one mapping for each way they may stand. `beside` are the packs that
    always run together with one of `packs`, `cells` the cells in series with it; `most_uses` is how often a pack may
    run that day.
    """

    factors: Mapping[str, tuple[float, ...]]
    props: tuple[str, ...]
    packs: Mapping[str, int | None]
    air_c: float | None = None
    wind_ms: float | None = None
    states: tuple[Mapping[str, float], ...] = ()
    beside: Mapping[str, tuple[PackUse, ...]] = field(default_factory=dict)
    cells: Mapping[str, float] = field(default_factory=dict)
    most_uses: int | None = None


@dataclass(frozen=True)
class Planned:
    """One run to make. `discharge` is which of its pack it will be, None for a pack that is broken in; `beside` are
    packs that run together with it."""

    factors: Mapping[str, float]
    prop: str
    pack: str
    discharge: int | None = None
    beside: tuple[PackUse, ...] = ()

    @property
    def setup(self) -> tuple:
        """Everything on the boat but the packs."""
        return tuple(sorted(self.factors.items())), self.prop

    @property
    def packs(self) -> tuple[PackUse, ...]:
        """All packs of the run."""
        return (PackUse(self.pack, self.discharge), *self.beside) if self.pack else ()


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


def candidates(available: Available) -> tuple[Planned, ...]:
    """Every single run that may be made, at most 500."""
    props, packs = list(available.props or ("",)), list(available.packs or ("",))
    together = available.states or ({},)
    joint = {name for state in together for name in state}
    free = {name: values for name, values in available.factors.items() if name not in joint}
    levels = _within(free, MOST_CANDIDATES // (len(props) * len(packs) * len(together)))
    states = [
        dict(zip(levels, values, strict=True)) | dict(state)
        for values in product(*levels.values())
        for state in together
    ]
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


def used_again(planned: Planned, available: Available, uses: int) -> Planned:
    """The run after its packs were used so many times: which discharge of each it is by then."""
    return replace(
        planned,
        discharge=_later(available.packs.get(planned.pack), uses),
        beside=tuple(
            replace(use, discharge=_later(use.discharge, uses)) for use in available.beside.get(planned.pack, ())
        ),
    )


def counted_on(runs: Sequence[Planned], available: Available, before: Mapping[str, int]) -> tuple[Planned, ...]:
    """The runs in their order, each with the discharges it will be; `before` is how often each pack ran already."""

    def numbered() -> Iterator[Planned]:
        used = dict(before)
        for run in runs:
            yield used_again(run, available, used.get(run.pack, 0))
            used[run.pack] = used.get(run.pack, 0) + 1

    return tuple(numbered())


def as_run(planned: Planned, available: Available, outing: str) -> EffectRun:
    """A planned run as the model sees runs; its outcome means nothing."""
    return EffectRun(
        key="",
        outcome=1.0,
        outing=outing,
        packs=planned.packs,
        prop=planned.prop,
        factors=planned.factors,
        air_c=available.air_c,
        wind_ms=available.wind_ms,
        cells=available.cells.get(planned.pack),
    )


def least_minutes(runs: Sequence[Planned]) -> float:
    """Time beside the runs in the best order for it: each setup once, and each charge of a pack used again."""
    return (len({run.setup for run in runs}) - 1) * SETUP_MINUTES + _charges(runs) * CHARGE_MINUTES


def minutes(runs: Sequence[Planned]) -> float:
    """Time beside the runs in this order: each change of setup, and each charge of a pack used again."""
    return changes(runs) * SETUP_MINUTES + _charges(runs) * CHARGE_MINUTES


def changes(runs: Sequence[Planned]) -> int:
    """How often the setup changes from one run to the next."""
    return sum(first.setup != second.setup for first, second in zip(runs, runs[1:], strict=False))


def _charges(runs: Sequence[Planned]) -> int:
    return len(runs) - len({run.pack for run in runs})


def _later(discharge: int | None, uses: int) -> int | None:
    return None if discharge is None else discharge + uses
