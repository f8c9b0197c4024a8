"""The fits that all questions about the same runs share: made once, and only where they are asked for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from garage.calc.arrays import np
from garage.calc.effect.design import Design
from garage.calc.effect.far_off import far_off_rows, without
from garage.calc.effect.point import Point, at_point
from garage.calc.effect.posterior import Posterior, fit, scales
from garage.calc.effect.priors import Priors, wide
from garage.calc.effect.verdict import Effect, effect_of

# A run this many run scatters off what the model says of it with the run in is far off as well.
_OUTLIER = 3.0


@dataclass(frozen=True)
class Fits:
    """What is computed of the runs of a design whatever the question."""

    made: Design
    priors: Priors

    @cached_property
    def default(self) -> Posterior:
        """The posterior under the priors as given."""
        return fit(self.made.model(self.priors), scales(self.priors))

    @cached_property
    def doubtful(self) -> Posterior:
        """The posterior under wide priors."""
        wider = wide(self.priors)
        return fit(self.made.model(wider), scales(wider))

    @cached_property
    def point(self) -> Point:
        """The model at the mean scatters."""
        return at_point(self.made.model(self.priors), self.default.mean_sigma, self.default.mean_tau)

    @cached_property
    def residuals(self) -> np.ndarray:
        """How far each run is off what the model says of it and its outing, in log points."""
        made, point = self.made, self.point
        off = made.y - self.default.intercept - made.x @ self.default.coefficients
        u2 = 1 / made.k
        per_outing = np.bincount(made.outing, u2)
        day = point.tau**2 * np.bincount(made.outing, u2 * off) / (point.sigma**2 + per_outing * point.tau**2)
        return off - day[made.outing]

    @cached_property
    def far_off(self) -> tuple[int, ...]:
        """Positions of the runs far off, by the fit with them in or by the fit of the others."""
        limit = _OUTLIER * self.point.sigma * np.sqrt(self.made.k)
        plain = np.flatnonzero(np.abs(self.residuals) > limit).tolist()
        return tuple(sorted({*plain, *far_off_rows(self.made, self.priors, self.default)}))

    @cached_property
    def _others(self) -> tuple[Posterior, Posterior]:
        wider = wide(self.priors)
        return (
            fit(without(self.made.model(self.priors), self.far_off), scales(self.priors)),
            fit(without(self.made.model(wider), self.far_off), scales(wider)),
        )

    def without_far_off(self, contrast: np.ndarray) -> tuple[Effect, Effect]:
        """An effect as if the runs far off had not been made, as assumed and under wide priors."""
        padded = np.concatenate([contrast, np.zeros(len(self.far_off))])
        first, second = (effect_of(each.contrast(padded)) for each in self._others)
        return first, second
