"""Answers that were worked out before: an answer comes of runs, question and assumptions alone, all of them plain
values, and stands for as long as these are the same. Whatever is written, by whomever, that changes one of them is
another question."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from garage.calc.effect.answer import Answer, Next, answer, next_runs
from garage.calc.effect.planning.plans import Available
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import EffectRun, Factor, Question

# A person looks at a few questions at a time; each fit takes the better part of a second.
_MOST_KEPT = 32


@dataclass(frozen=True)
class _Given:
    """What something is computed of, told apart by `words`, in which all of it is written out."""

    words: str
    parts: tuple[Any, ...] = field(compare=False)


def answer_to(runs: Sequence[EffectRun], factors: Sequence[Factor], question: Question, priors: Priors) -> Answer:
    """The answer to a question from these runs. NothingToCompare when they cannot speak about it."""
    parts = (runs, factors, question, priors)
    return _answer(_Given(repr(parts), parts))


def next_runs_for(given: Answer, there: Available | None, count: int = 4) -> Next:
    """The best next runs for the question of an answer, with what is there."""
    # The answer is kept with what came of it, so no other can have its id.
    return _next_runs(_Given(repr((id(given), there, count)), (given, there, count)))


@lru_cache(maxsize=_MOST_KEPT)
def _answer(of: _Given) -> Answer:
    return answer(*of.parts)


@lru_cache(maxsize=_MOST_KEPT)
def _next_runs(of: _Given) -> Next:
    return next_runs(*of.parts)
