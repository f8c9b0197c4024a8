"""What an answer is tangled with: where its uncertainty comes from, exactly, and causes that cannot be told from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from garage.calc.arrays import np
from garage.calc.effect.design import Design
from garage.calc.effect.parts import own_columns
from garage.calc.effect.point import Point

DAY = "day"
# A column that at most three others explain but for this share of its squares: exactly, or nearly, the same.
EXACT, NEAR = 1e-8, 0.25
_AT_MOST = 3
_RIDGE = 1e-11


@dataclass(frozen=True)
class Term:
    """Variance of the answer that one column's prior stands for; `shift` is the answer's per unit of its prior mean."""

    key: str
    cause: str
    variance: float
    shift: float
    prior_sd: float
    is_own: bool


@dataclass(frozen=True)
class Budget:
    """The variance of an answer at one pair of scatters, term by term; the terms add up to `total`."""

    terms: tuple[Term, ...]
    run_noise: float
    day: float
    total: float

    def shares(self) -> dict[str, float]:
        """Share of the variance by cause, the largest first; the question's own prior and run noise left out."""
        by_cause: dict[str, float] = {}
        for term in self.terms:
            if not term.is_own:
                by_cause[term.cause] = by_cause.get(term.cause, 0.0) + term.variance
        by_cause[DAY] = self.day
        ranked = sorted(by_cause.items(), key=lambda pair: -pair[1])
        return {cause: variance / self.total for cause, variance in ranked}


@dataclass(frozen=True)
class Alias:
    """Causes that together move as the one in question does; `left` is the share of it that they do not explain."""

    causes: tuple[str, ...]
    left: float

    @property
    def is_exact(self) -> bool:
        """Whether nothing tells them apart."""
        return self.left < EXACT


def budget(made: Design, point: Point) -> Budget:
    """The exact variance budget of the question: priors, noise of runs, and days."""
    a = point.solve(made.contrast)[1:]
    g = point.weights_of_runs(made.contrast)
    own = own_columns(made)
    terms = tuple(
        Term(
            key=column.key,
            cause=column.cause,
            variance=float((a[place] / point.prior_sd[place]) ** 2),
            shift=float(a[place] / point.prior_sd[place] ** 2),
            prior_sd=float(point.prior_sd[place]),
            is_own=place in own,
        )
        for place, column in enumerate(made.columns)
    )
    noise = float(point.sigma**2 * (point.k @ g**2))
    day = float(point.tau**2 * np.sum(np.bincount(made.outing, g) ** 2))
    return Budget(terms, noise, day, sum(term.variance for term in terms) + noise + day)


def aliases(made: Design, at_most: int = _AT_MOST) -> tuple[Alias, ...]:
    """The smallest sets of a few other columns that explain the one in question exactly, else nearly."""
    target, rows = _target(made)
    others = [place for place in range(len(made.columns)) if place not in own_columns(made)]
    columns = made.x[rows][:, others] - made.x[rows][:, others].mean(axis=0)
    spread = np.sqrt((columns**2).sum(axis=0))
    kept = [index for index in range(len(others)) if spread[index] > 1e-12]
    if not kept or not target @ target:
        return ()
    columns, names = columns[:, kept] / spread[kept], [made.columns[others[index]].cause for index in kept]
    near: tuple[Alias, ...] = ()
    for size in range(1, at_most + 1):
        # Few runs are explained by any few columns: that says nothing.
        if len(kept) < size or (size > 1 and len(rows) <= 2 * (size + 1)):
            break
        found = _unique(_explained(columns, target, names, size))
        exact = tuple(alias for alias in found if alias.is_exact)
        if exact:
            return exact
        near = near or tuple(alias for alias in found if alias.left < NEAR)
    return near


def _target(made: Design) -> tuple[np.ndarray, np.ndarray]:
    """The column in question, centred, and the rows it is looked at in."""
    own = made.index().get(made.question.name) if made.question.about in ("change", "setting") else None
    if own is not None:
        rows = np.arange(len(made.runs))
        values = made.x[:, own]
    else:
        rows = np.array(made.with_rows + made.without_rows)
        values = np.array([1.0] * len(made.with_rows) + [0.0] * len(made.without_rows))
    return values - values.mean(), rows


def _explained(columns: np.ndarray, target: np.ndarray, names: list[str], size: int) -> Iterator[Alias]:
    gram, toward = columns.T @ columns, columns.T @ target
    total = float(target @ target)
    chosen = np.array(list(combinations(range(len(names)), size)))
    sets = gram[chosen[:, :, None], chosen[:, None, :]]
    # Columns of a set may be the same themselves: a trace of ridge keeps that solvable, far below what counts as exact.
    fitted = np.linalg.solve(sets + _RIDGE * np.eye(size), toward[chosen][..., None])[..., 0]
    left = 1 - (2 * toward[chosen] * fitted - fitted * np.einsum("nij,nj->ni", sets, fitted)).sum(axis=1) / total
    for which in np.flatnonzero(left < NEAR):
        causes = tuple(dict.fromkeys(names[index] for index in chosen[which]))
        yield Alias(causes, max(float(left[which]), 0.0))


def _unique(found: Iterable[Alias]) -> list[Alias]:
    best: dict[tuple[str, ...], Alias] = {}
    for alias in sorted(found, key=lambda each: each.left):
        best.setdefault(tuple(sorted(alias.causes)), alias)
    return list(best.values())
