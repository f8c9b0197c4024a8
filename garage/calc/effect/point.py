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

    def residuals_of_runs(self, y: np.ndarray, prior_mean: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """u and the diagonal of P of each run: u/P is how far it is off what all other runs expect, 1/P the variance.

        P = V⁻¹ - V⁻¹ X L⁻¹ X' V⁻¹, u = V⁻¹ (y - X m), m the posterior mean (Woodbury).
        """
        weighted = np.column_stack([v_inverse(each, self.outing, self.k, self.sigma, self.tau) for each in self.x.T])
        assumed = np.concatenate([[0.0], prior_mean / self.prior_sd**2])
        mean = np.linalg.solve(self.precision, weighted.T @ y + assumed)
        off = v_inverse(y - self.x @ mean, self.outing, self.k, self.sigma, self.tau)
        u2 = 1 / self.k
        phi = self.tau**2 / (self.sigma**2 + np.bincount(self.outing, u2) * self.tau**2)
        own = u2 * (1 - phi[self.outing] * u2) / self.sigma**2
        explained = np.einsum("ij,ji->i", weighted, np.linalg.solve(self.precision, weighted.T))
        return off, own - explained


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
