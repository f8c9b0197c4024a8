"""What the model knows about one run, and what can be asked about the runs of a hull."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

# Variance of a speed relative to one from a log. By eye is rough: common practice, no source.
# Energy worked out from the charge put back rather than logged: common practice, no source.
VARIANCE_RATIOS: Mapping[str, float] = {"log": 1.0, "display": 2.0, "eye": 4.0, "charge": 2.0}
# How much of a pack's break-in is still ahead fades with this many discharges: common practice, no source.
BREAK_IN_DISCHARGES = 1.5
# Below this share the break-in counts as over.
_BREAK_IN_OVER = 0.005
# Expected largest of k standard normal values for k = 1 … 6 (order statistics, from memory).
_EXPECTED_LARGEST = (0.0, 0.5642, 0.8463, 1.0294, 1.1630, 1.2672)


@dataclass(frozen=True)
class PackUse:
    """A pack in a run, and which discharge of it this is, 1 the first; None for one that is broken in."""

    pack: str
    discharge: int | None = None


@dataclass(frozen=True)
class EffectRun:
    """One run: its outcome (above 0, mostly a speed in km/h) and everything recorded that may have moved it.

    `factors` holds changes as 0 or 1 and settings as numbers; several packs at once count by their mean;
    `passes` is how many passes the outcome is the best of, None where nobody wrote it down.
    """

    key: str
    outcome: float
    outing: str
    packs: tuple[PackUse, ...] = ()
    prop: str = ""
    factors: Mapping[str, float] = field(default_factory=dict)
    how: str = "log"
    passes: int | None = 1
    air_c: float | None = None
    wind_ms: float | None = None
    headwind_ms: float | None = None
    pack_start_c: float | None = None
    rested_v_per_cell: float | None = None
    cells: float | None = None
    surface_step: float | None = None
    water_c: float | None = None


@dataclass(frozen=True)
class Factor:
    """A change (0 or 1) or a setting (any number) in the model; effects of a setting are per `step`."""

    name: str
    is_setting: bool = False
    step: float = 1.0


@dataclass(frozen=True)
class Question:
    """What is asked. `about` is change, setting, prop, pack or states; `name` the factor or level in question.

    A prop or pack is held against the levels in `against`. For two build states, `before` and `after` hold the
    factors in which they differ.
    """

    about: str
    name: str
    against: tuple[str, ...] = ()
    before: Mapping[str, float] = field(default_factory=dict)
    after: Mapping[str, float] = field(default_factory=dict)


def break_in_ahead(discharge: int | None) -> float:
    """Share of a pack's break-in still ahead at its nth discharge: exp(-(n - 1) / 1.5), 0 once below 0.005 or None."""
    if discharge is None:
        return 0.0
    ahead = math.exp(-(discharge - 1) / BREAK_IN_DISCHARGES)
    return ahead if ahead >= _BREAK_IN_OVER else 0.0


def expected_largest(count: int) -> float:
    """Expected largest of `count` standard normal values; beyond 6 by Blom's approximation. ValueError below 1."""
    if count < 1:
        raise ValueError("the best of fewer than one pass has no meaning")
    if count <= len(_EXPECTED_LARGEST):
        return _EXPECTED_LARGEST[count - 1]
    return normal_quantile((count - 0.375) / (count + 0.25))


@cache
def normal_quantile(share: float) -> float:
    """The standard normal value below which `share` (0 to 1, both excluded) of values lie, by bisection."""
    low, high = -10.0, 10.0
    for _ in range(80):
        middle = (low + high) / 2
        if normal_below(middle) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def normal_below(value: float) -> float:
    """Share of standard normal values below `value`."""
    return 0.5 * math.erfc(-value / math.sqrt(2))


def sides(question: Question, runs: Sequence[EffectRun]) -> tuple[list[int], list[int]]:
    """Which runs stand for "with" and which for "without", as positions.

    For a setting, those at its highest and at its lowest level. A run with the prop or pack in question is "with",
    one with any of `against` is "without"; a run with both packs at once stands on neither side.
    """
    if question.about == "setting":
        values = [run.factors.get(question.name, math.nan) for run in runs]
        known = [value for value in values if not math.isnan(value)]
        if not known:
            return [], []
        top, bottom = max(known), min(known)
        if top == bottom:
            return [index for index, value in enumerate(values) if value == top], []
        return [i for i, value in enumerate(values) if value == top], [
            i for i, value in enumerate(values) if value == bottom
        ]
    having = [_side(question, run) for run in runs]
    return [i for i, side in enumerate(having) if side > 0], [i for i, side in enumerate(having) if side < 0]


def _side(question: Question, run: EffectRun) -> int:
    if question.about == "change":
        return 1 if run.factors.get(question.name, 0.0) else -1
    if question.about == "states":
        return int(_agrees(question.after, run)) - int(_agrees(question.before, run))
    levels = {run.prop} if question.about == "prop" else {use.pack for use in run.packs}
    return int(question.name in levels) - int(bool(levels & set(question.against)))


def _agrees(factors: Mapping[str, float], run: EffectRun) -> bool:
    return all(run.factors.get(name, 0.0) == value for name, value in factors.items())
