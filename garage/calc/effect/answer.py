"""One whole answer: seen, of that, effect, verdict, tangled with, and the next runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.effect.columns import columns
from garage.calc.effect.design import Design, NothingToCompare, design
from garage.calc.effect.fits import Fits
from garage.calc.effect.judgement import Judgement, judgement
from garage.calc.effect.parts import Seen, own_columns, seen
from garage.calc.effect.planning.planner import HALF_WIDTH_90, best_plan, outings_needed
from garage.calc.effect.planning.plans import Available, Plan
from garage.calc.effect.posterior import Posterior
from garage.calc.effect.priors import DEFAULT_PRIORS, Priors
from garage.calc.effect.runs import EffectRun, Factor, Question
from garage.calc.effect.sentences import alias_sentence, sentence
from garage.calc.effect.tangled import Alias, Budget, aliases, budget
from garage.calc.effect.verdict import (
    CANNOT_TELL,
    PROBABLY_GAIN,
    PROBABLY_LOSS,
    SMALLEST_PERCENT,
    Effect,
    effect_of,
)

CANNOT_SETTLE = "More runs with what you have cannot settle this."
NOTHING_AVAILABLE = "There is nothing to make the next runs with."
HELD_BACK = (
    "More runs with what you have would hardly narrow it; what keeps it from being settled stands with the verdict."
)
SETTLED = "The question is settled: no more runs are needed for it."
TARGET_PERCENT = 1.5


@dataclass(frozen=True)
class Tangle:
    """A cause the answer is tangled with: its share of the variance of the answer, and a sentence; `brief` says how it
    lay alone, without what moved exactly or nearly alike."""

    cause: str
    share: float
    sentence: str
    brief: str


@dataclass(frozen=True)
class RunWeight:
    """What one run counts for: the answer's change per log point of this run, and how far the run is off the fit."""

    key: str
    weight: float
    residual: float
    is_outlier: bool


@dataclass(frozen=True)
class Answer:
    """Everything there is to say about one question. Amounts are in the unit of the outcome, effects in log points."""

    design: Design
    priors: Priors
    seen: Seen
    effect: Effect
    wide: Effect
    range_effect: Effect | None
    reference: float
    judgement: Judgement
    tangled: tuple[Tangle, ...]
    aliases: tuple[Alias, ...]
    budget: Budget
    sigma: float
    tau: float
    weights: tuple[RunWeight, ...]

    @property
    def verdict(self) -> str:
        """The verdict in one of six fixed words."""
        return self.judgement.verdict

    @property
    def tangled_verdict(self) -> str:
        """The verdict, with what holds it back, or what it is tangled with, where it is only probable."""
        if self.judgement.is_held_back and self.verdict != CANNOT_TELL:
            return f"{self.verdict}, but {self.judgement.brief}"
        if self.verdict in (PROBABLY_GAIN, PROBABLY_LOSS) and self.tangled:
            return f"{self.verdict}, but tangled with {self.tangled[0].cause}"
        return self.verdict

    @property
    def settled(self) -> bool:
        """Whether no more runs are asked for."""
        return self.verdict not in (CANNOT_TELL, PROBABLY_GAIN, PROBABLY_LOSS)

    def amount(self, ln: float) -> float:
        """An effect in log points as an amount, at the reference setup."""
        return self.reference * math.expm1(ln)


@dataclass(frozen=True)
class Next:
    """The next runs and what they would do; `plan` is None, with a reason, where none is worth making."""

    plan: Plan | None
    reason: str
    outings_needed: int | None


def answer(
    runs: Sequence[EffectRun],
    factors: Sequence[Factor],
    question: Question,
    priors: Priors = DEFAULT_PRIORS,
    smallest_percent: float = SMALLEST_PERCENT,
) -> Answer:
    """Answer a question from these runs. NothingToCompare when they cannot speak about it at all."""
    made = design(runs, factors, question, priors)
    fits = Fits(made, priors)
    posterior, mixture = fits.default, fits.default.contrast(made.contrast)
    default, doubtful = effect_of(mixture), effect_of(fits.doubtful.contrast(made.contrast))
    found = budget(made, fits.point)
    alias = aliases(made)
    return Answer(
        design=made,
        priors=priors,
        seen=seen(made, posterior, question.name),
        effect=default,
        wide=doubtful,
        range_effect=effect_of(mixture.scaled(made.steps)) if question.about == "setting" else None,
        reference=_reference(made, posterior),
        judgement=judgement(made, fits, default, doubtful, smallest_percent),
        tangled=_tangles(made, found, alias),
        aliases=alias,
        budget=found,
        sigma=posterior.mean_sigma,
        tau=posterior.mean_tau,
        weights=_weights(made, fits),
    )


@dataclass(frozen=True)
class Brief:
    """The short answer to one of several questions: effects, judgement, and causes it cannot be told from."""

    question: Question
    effect: Effect
    wide: Effect
    judgement: Judgement
    tied_with: tuple[str, ...]

    @property
    def verdict(self) -> str:
        """The verdict in one of six fixed words."""
        return self.judgement.verdict


def several(
    runs: Sequence[EffectRun],
    factors: Sequence[Factor],
    questions: Sequence[Question],
    priors: Priors = DEFAULT_PRIORS,
    smallest_percent: float = SMALLEST_PERCENT,
) -> list[Brief | None]:
    """Short answers to several questions from the same runs, which are fitted once; None where nothing can be compared.

    The figures are those of `answer`.
    """
    known = columns(runs, factors)
    fits: Fits | None = None
    briefs: list[Brief | None] = []
    for question in questions:
        try:
            made = design(runs, factors, question, priors, known)
        except NothingToCompare:
            briefs.append(None)
            continue
        fits = fits or Fits(made, priors)
        default, doubtful = (effect_of(each.contrast(made.contrast)) for each in (fits.default, fits.doubtful))
        tied = tuple(sorted({cause for each in aliases(made, 1) if each.is_exact for cause in each.causes}))
        said = judgement(made, fits, default, doubtful, smallest_percent)
        briefs.append(Brief(question, default, doubtful, said, tied))
    return briefs


def _tangles(made: Design, found: Budget, alias: Sequence[Alias]) -> tuple[Tangle, ...]:
    tangles, unsaid = [], list(alias)
    for cause, share in found.shares().items():
        also = [alias_sentence(each, made) for each in unsaid if cause in each.causes]
        unsaid = [each for each in unsaid if cause not in each.causes]
        brief = sentence(cause, made, found)
        tangles.append(Tangle(cause, share, " ".join([brief, *also]).strip(), brief))
    return tuple(tangles)


def next_runs(
    given: Answer, available: Available | None, count: int = 4, target_percent: float = TARGET_PERCENT
) -> Next:
    """The best next runs for the question of an answer, 1 to 8 on one day, and how many such outings it takes."""
    if given.settled:
        return Next(None, SETTLED, 0)
    if available is None:
        return Next(None, NOTHING_AVAILABLE, None)
    plan = best_plan(given.design, given.priors, given.sigma, given.tau, available, count)
    if plan is None:
        return Next(None, NOTHING_AVAILABLE, None)
    if not plan.is_worth_making:
        return Next(None, HELD_BACK if given.judgement.is_held_back else CANNOT_SETTLE, None)
    needed = outings_needed(given.design, given.priors, given.sigma, given.tau, plan, available, target_percent / 100)
    return Next(plan, "", needed)


def half_width_percent(sd: float) -> float:
    """Half of the 90 % interval, in log points x 100."""
    return 100 * HALF_WIDTH_90 * sd


def _reference(made: Design, posterior: Posterior) -> float:
    """Outcome without the thing in question, everything else as in the mean run; for a setting, at its mean."""
    own = own_columns(made)
    rows = list(range(len(made.runs))) if made.question.about == "setting" else list(made.without_rows)
    ln = posterior.intercept
    for place in range(len(made.columns)):
        values = made.x[rows, place] if place in own else made.x[:, place]
        ln += float(posterior.coefficients[place] * values.mean())
    return math.exp(ln)


def _weights(made: Design, fits: Fits) -> tuple[RunWeight, ...]:
    g, far_off = fits.point.weights_of_runs(made.contrast), set(fits.far_off)
    return tuple(
        RunWeight(run.key, float(weight), float(residual), row in far_off)
        for row, (run, weight, residual) in enumerate(zip(made.runs, g, fits.residuals, strict=True))
    )
