"""Runs and a question turned into the matrix of the model, and the weights of its columns that answer the question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.effect.columns import Column, Columns, bend_key, columns
from garage.calc.effect.posterior import Model
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import VARIANCE_RATIOS, EffectRun, Factor, Question, expected_largest, sides

_HOW_WORDS: Mapping[str, str] = {
    "log": "from logs",
    "display": "read off a display",
    "eye": "judged by eye",
    "charge": "worked out from the charge put back",
}


class NothingToCompare(ValueError):
    """The runs cannot speak about the question at all; the text says why."""


@dataclass(frozen=True)
class Design:
    """The matrix and everything needed to speak about it. `contrast` has one weight per column.

    `y` is the log of the outcome less what the best of several passes gains by being the best; `steps` is over how
    many steps of a setting "with" lies from "without" (1 for anything else). `more_passes` is what was taken off.
    """

    runs: tuple[EffectRun, ...]
    factors: tuple[Factor, ...]
    question: Question
    columns: tuple[Column, ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]
    with_rows: tuple[int, ...]
    without_rows: tuple[int, ...]
    steps: float
    y: np.ndarray
    more_passes: np.ndarray
    x: np.ndarray
    outing: np.ndarray
    outing_names: tuple[str, ...]
    k: np.ndarray
    contrast: np.ndarray

    def model(self, priors: Priors) -> Model:
        """The matrix under these priors."""
        own = dict(priors.own)
        chosen = [own.get(column.key) or getattr(priors, column.prior) for column in self.columns]
        means, sds = np.array([p.mean for p in chosen]), np.array([p.sd for p in chosen])
        return Model(self.x, self.y, self.outing, self.k, means, sds)

    @property
    def came_first(self) -> str:
        """ "without" or "with" where all runs of that side came before all of the other; nothing where they were run
        in turn. The runs stand in the order of their time."""
        if max(self.without_rows) < min(self.with_rows):
            return "without"
        return "with" if max(self.with_rows) < min(self.without_rows) else ""

    def index(self) -> dict[str, int]:
        """Place of each column by its key."""
        return {column.key: place for place, column in enumerate(self.columns)}


def design(
    runs: Sequence[EffectRun],
    factors: Sequence[Factor],
    question: Question,
    priors: Priors,
    known: Columns | None = None,
) -> Design:
    """The matrix for these runs; `known` are their columns where they were made already.

    NothingToCompare when there are fewer than two runs, or all of them on one side.
    """
    having, lacking = _both_sides(question, runs)
    made = known or columns(runs, factors)
    names = tuple(dict.fromkeys(run.outing for run in runs))
    place = {name: index for index, name in enumerate(names)}
    passes = np.array([priors.pass_sd.mean * expected_largest(run.passes) if run.passes else 0.0 for run in runs])
    x = np.column_stack([column.values for column in made.kept])
    return Design(
        runs=tuple(runs),
        factors=tuple(factors),
        question=question,
        columns=made.kept,
        left_out=made.left_out,
        notes=made.notes + _notes_on_reading(runs),
        with_rows=tuple(having),
        without_rows=tuple(lacking),
        steps=_steps(question, runs, factors),
        y=np.log([run.outcome for run in runs]) - passes,
        more_passes=passes,
        x=x,
        outing=np.array([place[run.outing] for run in runs]),
        outing_names=names,
        k=np.array([VARIANCE_RATIOS[run.how] for run in runs]),
        contrast=contrast(question, made, runs),
    )


def _both_sides(question: Question, runs: Sequence[EffectRun]) -> tuple[list[int], list[int]]:
    name = question.name
    if not runs:
        raise NothingToCompare("There are no runs.")
    having, lacking = sides(question, runs)
    if having and lacking:
        return having, lacking
    if question.about == "setting":
        raise NothingToCompare(
            f"All runs have {name} at the same value: there is nothing to compare. Run at a second value."
        )
    it = "it" if question.about == "change" else name
    count = "The only run is" if len(runs) == 1 else f"All {len(runs)} runs are"
    if not having and not lacking:
        raise NothingToCompare(f"No run is with {it} or with what it is held against.")
    missing = "without" if having else "with"
    there = "with" if having else "without"
    raise NothingToCompare(f"{count} {there} {it}: there is nothing to compare. Make at least one run {missing} it.")


def _steps(question: Question, runs: Sequence[EffectRun], factors: Sequence[Factor]) -> float:
    if question.about != "setting":
        return 1.0
    step = next(factor.step for factor in factors if factor.name == question.name)
    values = [run.factors[question.name] for run in runs if question.name in run.factors]
    return (max(values) - min(values)) / step


def contrast(question: Question, made: Columns, runs: Sequence[EffectRun]) -> np.ndarray:
    """One weight per column: how far each moves from "without" to "with" (per step, for a setting)."""
    kept = {column.key: place for place, column in enumerate(made.kept)}
    weights = np.zeros(len(kept))
    if question.about == "setting":
        values = [run.factors[question.name] for run in runs if question.name in run.factors]
        _move(weights, made, {question.name: min(values)}, {question.name: max(values)})
        return weights / weights[kept[question.name]]
    if question.about == "change":
        weights[kept[question.name]] = 1.0
    elif question.about == "states":
        _move(weights, made, question.before, question.after)
    else:
        weights[kept[f"{question.about}:{question.name}"]] = 1.0
        rows = {
            level: float(made.kept[kept[f"{question.about}:{level}"]].values.sum())
            for level in _against(question, kept)
        }
        for level, count in rows.items():
            weights[kept[f"{question.about}:{level}"]] -= count / sum(rows.values())
    return weights


def _against(question: Question, kept: Mapping[str, int]) -> list[str]:
    return [level for level in question.against if f"{question.about}:{level}" in kept]


def _move(weights: np.ndarray, made: Columns, before: Mapping[str, float], after: Mapping[str, float]) -> None:
    for place, column in enumerate(made.kept):
        for name in set(before) | set(after):
            start = (before.get(name, 0.0) - column.middle) / column.step
            end = (after.get(name, 0.0) - column.middle) / column.step
            if column.key == name:
                weights[place] += end - start
            elif column.key == bend_key(name):
                weights[place] += end**2 - start**2


def _notes_on_reading(runs: Sequence[EffectRun]) -> tuple[str, ...]:
    notes = []
    hows = {run.how for run in runs}
    if len(hows) > 1:
        told = ", ".join(_HOW_WORDS[how] for how in sorted(hows))
        notes.append(f"Not all runs are known in the same way ({told}): the rougher ones count less.")
    unknown = sum(run.passes is None for run in runs)
    if unknown:
        notes.append(
            f"Of how many passes a speed is the best is not known for {unknown} of {len(runs)} runs: not corrected for."
        )
    return tuple(notes)
