"""What was seen, and of that: one part per cause, adding up exactly."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.effect.columns import break_in_values
from garage.calc.effect.design import Design
from garage.calc.effect.posterior import Posterior

UNEXPLAINED = "unexplained"
# A seen difference in km/h per log point that is further from the mean speed than this cannot serve as a scale.
_SCALE_MISFIT = 0.2


@dataclass(frozen=True)
class Part:
    """One cause of what was seen: in the outcome's own unit (km/h) and in log points."""

    cause: str
    amount: float
    ln: float


@dataclass(frozen=True)
class Seen:
    """The difference of means, with minus without (for a setting: per step), and its parts, which add up to it."""

    amount: float
    ln: float
    parts: tuple[Part, ...]


def seen(made: Design, posterior: Posterior, own_name: str) -> Seen:
    """Allot what was seen to its causes at the posterior means; the part of the question itself is `own_name`."""
    outcomes = np.array([run.outcome for run in made.runs])
    ln_seen = _difference(made, made.y + made.more_passes) / made.steps
    amount = _difference(made, outcomes) / made.steps
    by_cause = {cause: value / made.steps for cause, value in _ln_parts(made, posterior, own_name).items()}
    by_cause[UNEXPLAINED] = ln_seen - sum(by_cause.values())
    middle = float(outcomes.mean())
    scale = amount / ln_seen if ln_seen else middle
    if abs(scale / middle - 1) > _SCALE_MISFIT:
        scale = middle
    in_unit = {cause: value * scale for cause, value in by_cause.items()}
    in_unit[UNEXPLAINED] = amount - sum(value for cause, value in in_unit.items() if cause != UNEXPLAINED)
    return Seen(amount, ln_seen, tuple(Part(cause, in_unit[cause], value) for cause, value in by_cause.items()))


def _difference(made: Design, values: np.ndarray) -> float:
    return float(values[list(made.with_rows)].mean() - values[list(made.without_rows)].mean())


def _ln_parts(made: Design, posterior: Posterior, own_name: str) -> dict[str, float]:
    parts: dict[str, float] = {own_name: 0.0}
    own = own_columns(made)
    by_pack = break_in_values(made.runs)
    usual = 0.0
    for place, column in enumerate(made.columns):
        coefficient = float(posterior.coefficients[place])
        if column.key == "break-in":
            usual = coefficient
            continue
        cause = own_name if place in own else column.cause
        if column.key.startswith("break-in:"):
            cause = breaking_in(column.key.removeprefix("break-in:"))
        parts[cause] = parts.get(cause, 0.0) + coefficient * _difference(made, column.values)
    if usual:
        for pack, values in by_pack.items():
            parts[breaking_in(pack)] = parts.get(breaking_in(pack), 0.0) + usual * _difference(made, values)
    if np.any(made.more_passes):
        parts["best of more passes"] = _difference(made, made.more_passes)
    return parts


def breaking_in(pack: str) -> str:
    """The cause "this pack breaking in", in words."""
    return f"pack {pack} breaking in"


def own_columns(made: Design) -> set[int]:
    """The columns that the question itself is about: those with a weight in it."""
    return {place for place, weight in enumerate(made.contrast) if weight}
