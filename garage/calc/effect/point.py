"""The model at one pair of scatters, in full: what each run and each assumption weighs in an answer."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.effect.posterior import Model


@dataclass(frozen=True)
class Point:
    """Posterior precision at one sigma and tau; the intercept, about which nothing is assumed, comes first."""

    x: np.ndarray
    outing: np.ndarray
    k: np.ndarray
    prior_sd: np.ndarray
    sigma: float
    tau: float
    precision: np.ndarray

    def solve(self, c: np.ndarray) -> np.ndarray:
        """Precision⁻¹ times the weights of the columns (the intercept has none)."""
        return np.linalg.solve(self.precision, np.concatenate([[0.0], c]))

    def variance(self, c: np.ndarray) -> float:
        """Posterior variance of c'b."""
        return float(self.solve(c)[1:] @ c)

    def weights_of_runs(self, c: np.ndarray) -> np.ndarray:
        """How much the answer c'b moves per unit of each run's own log outcome: V⁻¹ X a."""
        return v_inverse(self.x @ self.solve(c), self.outing, self.k, self.sigma, self.tau)


def at_point(model: Model, sigma: float, tau: float) -> Point:
    """The model at these scatters (sigma above 0, tau at least 0)."""
    x = np.column_stack([np.ones(len(model.y)), model.x - model.x.mean(axis=0)])
    q = np.concatenate([[0.0], 1 / model.prior_sd**2])
    weighted = np.column_stack([v_inverse(column, model.outing, model.k, sigma, tau) for column in x.T])
    precision = x.T @ weighted + np.diag(q)
    return Point(x, model.outing, model.k, model.prior_sd, sigma, tau, precision)


def v_inverse(values: np.ndarray, outing: np.ndarray, k: np.ndarray, sigma: float, tau: float) -> np.ndarray:
    """V⁻¹ times a vector over the runs, V = sigma² diag(k) + tau² within an outing, without building V."""
    u2 = 1 / k
    per_outing = np.bincount(outing, u2)
    phi = tau**2 / (sigma**2 + per_outing * tau**2)
    shared = (phi * np.bincount(outing, u2 * values, len(per_outing)))[outing]
    return u2 * (values - shared) / sigma**2
