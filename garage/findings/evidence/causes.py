"""A person's own fields as possible causes of what was measured: which can be, and how a run's values enter.

A number enters as a setting does, centred and by its step. Of choices each is a level of its own, there or not, and
centred as well: so a run without a value stands for the mean of the others, which is to say that it is not known.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from garage.calc.effect.priors import Prior, Priors
from garage.calc.effect.runs import EffectRun, Factor
from garage.fields.definition import is_open
from garage.findings.evidence.steps import STEPS
from garage.findings.tables import Finding
from garage.own_fields.at_hand import Own, known

MOST_CAUSES = 5
# Whose own fields a run can tell apart: what it was itself, its day, its packs and its props.
CAUSES_OF = ("run", "outing", "pack", "prop")


@dataclass(frozen=True)
class Ticked:
    """An own field among the causes of a question, and how many of its runs have no value in it."""

    own: Own
    lacking: int


def possible_causes() -> tuple[Own, ...]:
    """The own fields that can be ticked as causes; words cannot be counted with."""
    every = (one for thing in CAUSES_OF for one in known(thing))
    return tuple(one for one in every if one.field.is_number or one.field.choices)


def causes_of(asked: Finding) -> tuple[Own, ...]:
    """Those that were ticked for a question; one that was put away since stays among them."""
    numbers = set(json.loads(asked.own_causes))
    return tuple(one for one in possible_causes() if one.number in numbers) if numbers else ()


def names_of_causes(causes: Iterable[Own]) -> dict[str, str]:
    """What the factors of some causes are called, by a key of their own."""
    return {
        key: one.field.in_sentence + (f": {level}" if level else "") for one in causes for key, level in _factors(one)
    }


def values_of_causes(causes: Iterable[Own], things: Mapping[str, Sequence[Any]]) -> dict[str, float]:
    """What a run says of some causes, by the same keys; `things` are the rows of what it was made of and in."""
    said: dict[str, float] = {}
    for one in causes:
        values = [getattr(row, one.field.column) for row in things[one.thing]]
        there = [value for value in values if not is_open(value)]
        if not there:
            continue
        for key, level in _factors(one):
            counted = [float(value == level) if level else float(value) for value in there]
            said[key] = sum(counted) / len(counted)
    return said


def cause_factor(key: str, name: str) -> Factor:
    """The factor of a key of a cause, under its name."""
    number, _, level = key.removeprefix("own:").partition("=")
    found = next((one for one in possible_causes() if str(one.number) == number), None)
    if level or found is None:
        return Factor(name, is_setting=True)
    return Factor(name, is_setting=True, step=found.step or STEPS.get(found.field.kind, 1.0))


def with_causes(priors: Priors, causes: Iterable[Own], names: Mapping[str, str], spread: float) -> Priors:
    """The priors with what is assumed of these causes, `spread` wider where it is not the speed that is asked about."""
    own = {
        names[key]: Prior(0.0, one.prior_percent / 100 * spread)
        for one in causes
        for key, _ in _factors(one)
        if key in names
    }
    return priors.with_own(dict(priors.own) | own) if own else priors


def ticked(causes: Iterable[Own], names: Mapping[str, str], runs: Sequence[EffectRun]) -> list[Ticked]:
    """Some causes with how many of these runs say nothing of each."""
    return [
        Ticked(one, sum(all(names[key] not in run.factors for key, _ in _factors(one)) for run in runs))
        for one in causes
    ]


def _factors(one: Own) -> Iterator[tuple[str, str]]:
    """The keys of a cause with the level that each stands for; of two choices the second is held against the first."""
    levels = one.field.values
    if not levels:
        yield f"own:{one.number}", ""
    for level in levels if len(levels) > 2 else levels[-1:]:
        yield f"own:{one.number}={level}", level
