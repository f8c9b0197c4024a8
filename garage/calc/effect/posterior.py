"""The one estimator: a linear model with stated priors and outings as blocks, averaged over the two scatters.

For each pair of scatters on a grid (sigma from run to run, tau from outing to outing) the posterior is normal in
closed form; the answer is their mixture. Outings enter by sums over their runs, so a grid point costs the square of
the number of columns, whatever the number of runs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from garage.calc.arrays import np
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import normal_below, normal_quantile

SIGMA_POINTS, SIGMA_REACH = 25, 3.0
TAU_POINTS, TAU_REACH = 7, 2.5
# Points of the grid whose weight is below e^-25 (1e-11) of the largest are dropped: no printed digit knows them.
_LN_NEGLIGIBLE = 25.0
_ROOT_2, _ROOT_2PI = math.sqrt(2), math.sqrt(2 * math.pi)


@dataclass(frozen=True)
class Scales:
    """The grid: pairs of scatters and the log of the prior of each pair."""

    sigma: np.ndarray
    tau: np.ndarray
    ln_prior: np.ndarray


@dataclass(frozen=True)
class Model:
    """What is fitted: y = b0 + X b + outing + run, b0 flat; run variance is k sigma², one value of k per run.

    `prior_sd` may be infinite (nothing assumed). `outing` numbers the outings from 0. Rows agree with the runs.
    """

    x: np.ndarray
    y: np.ndarray
    outing: np.ndarray
    k: np.ndarray
    prior_mean: np.ndarray
    prior_sd: np.ndarray


@dataclass(frozen=True)
class Mixture:
    """A mixture of normal distributions of one quantity."""

    weights: np.ndarray
    means: np.ndarray
    sds: np.ndarray

    @property
    def mean(self) -> float:
        """Mean of the quantity."""
        return float(self.weights @ self.means)

    @property
    def sd(self) -> float:
        """Standard deviation of the quantity."""
        return math.sqrt(max(float(self.weights @ (self.sds**2 + self.means**2)) - self.mean**2, 0.0))

    def below(self, value: float) -> float:
        """Probability that the quantity lies below `value`."""
        # numpy has no error function; a plain list of math's is quicker than anything built from numpy's own.
        z = ((value - self.means) / (self.sds * _ROOT_2)).tolist()
        return float(0.5 + 0.5 * (self.weights @ np.array([math.erf(each) for each in z])))

    def quantile(self, share: float) -> float:
        """The value below which the quantity lies with probability `share` (0 to 1, both excluded)."""
        weights, means, sds = self.weights, self.means, self.sds
        low, high = float((means - 9 * sds).min()), float((means + 9 * sds).max())
        width = self.sd
        at = self.mean + width * normal_quantile(share)
        for _ in range(200):
            error = self.below(at) - share
            low, high = (low, at) if error > 0 else (at, high)
            slope = float(weights @ (np.exp(-(((at - means) / sds) ** 2) / 2) / sds)) / _ROOT_2PI
            step = error / slope if slope > 0 else math.inf
            # Newton where it stays inside what is known, else halving.
            newton = low < at - step < high
            at = at - step if newton else (low + high) / 2
            # Newton's error squares with each step: after one this small nothing is left to mend.
            if (newton and abs(step) < 1e-7 * width) or high - low < 1e-14:
                break
        return at

    def expected_above_zero(self) -> float:
        """Mean of the quantity counting only its positive values, 0 for the others."""
        weights, means, sds = self.weights, self.means, self.sds
        z = means / sds
        inner = np.array([normal_below(value) for value in z.tolist()])
        return float(weights @ (means * inner + sds * np.exp(-(z**2) / 2) / _ROOT_2PI))

    def scaled(self, factor: float) -> Mixture:
        """The quantity times a factor above 0."""
        return Mixture(self.weights, self.means * factor, self.sds * factor)


@dataclass(frozen=True)
class Posterior:
    """The fitted model. Coefficients are those of the columns as given; `intercept` is the mean of b0."""

    weights: np.ndarray
    sigma: np.ndarray
    tau: np.ndarray
    coefficients: np.ndarray
    intercept: float
    _means: np.ndarray
    _precision: np.ndarray
    _stretch: np.ndarray

    @property
    def mean_sigma(self) -> float:
        """Posterior mean of the scatter from run to run."""
        return float(self.weights @ self.sigma)

    @property
    def mean_tau(self) -> float:
        """Posterior mean of the scatter from outing to outing."""
        return float(self.weights @ self.tau)

    def contrast(self, c: np.ndarray) -> Mixture:
        """The distribution of c'b, for one weight per column."""
        inner = np.concatenate([[0.0], c / self._stretch])
        spread = np.linalg.solve(self._precision, np.broadcast_to(inner, self._means.shape)[..., None])[..., 0]
        return Mixture(self.weights, self._means @ inner, np.sqrt(spread @ inner))


@lru_cache(maxsize=8)
def scales(priors: Priors) -> Scales:
    """The usual grid: 25 values of sigma and 7 of tau, evenly in their logarithm, with log-normal priors."""
    z1 = np.linspace(-SIGMA_REACH, SIGMA_REACH, SIGMA_POINTS)
    z2 = np.linspace(-TAU_REACH, TAU_REACH, TAU_POINTS)
    first, second = (grid.ravel() for grid in np.meshgrid(z1, z2, indexing="ij"))
    sigma = priors.sigma.mean * np.exp(priors.sigma.sd * first)
    return Scales(sigma, priors.tau.mean * np.exp(priors.tau.sd * second), -(first**2 + second**2) / 2)


def fit(model: Model, grid: Scales) -> Posterior:
    """Fit on a grid. ValueError when a column with nothing assumed about it cannot be told from the others."""
    x, y, stretch, centre, y_mean = _prepared(model)
    q = np.concatenate([[0.0], 1 / (model.prior_sd * stretch) ** 2])
    m0 = np.concatenate([[0.0], model.prior_mean * stretch])
    precision, right, fit_of_y, ln_v = _information(x, y, model.outing, 1 / model.k, grid)
    diagonal = np.arange(len(q))
    precision[:, diagonal, diagonal] += q
    right = right + q * m0
    try:
        ln_det = 2 * np.log(np.diagonal(np.linalg.cholesky(precision), axis1=1, axis2=2)).sum(axis=1)
    except np.linalg.LinAlgError:
        raise ValueError("Some columns cannot be told apart, and nothing is assumed about them.") from None
    means = np.linalg.solve(precision, right[..., None])[..., 0]
    ln_w = grid.ln_prior - (ln_v + ln_det + fit_of_y + m0 @ (q * m0) - (means * right).sum(axis=1)) / 2
    kept = ln_w > ln_w.max() - _LN_NEGLIGIBLE
    weights = np.exp(ln_w[kept] - ln_w.max())
    weights /= weights.sum()
    means = means[kept]
    inner = weights @ means
    coefficients = inner[1:] / stretch
    intercept = float(inner[0] + y_mean - coefficients @ centre)
    return Posterior(
        weights, grid.sigma[kept], grid.tau[kept], coefficients, intercept, means, precision[kept], stretch
    )


def _prepared(model: Model) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, float]:
    """Rows divided by sqrt(k), with the intercept first; columns centred and stretched, so that sums stay exact."""
    u2 = 1 / model.k
    centre = u2 @ model.x / u2.sum()
    middle = model.x - centre
    stretch = np.sqrt(u2 @ middle**2 / len(u2))
    stretch[stretch == 0] = 1.0
    y_mean = float(u2 @ model.y / u2.sum())
    u = np.sqrt(u2)
    return np.column_stack([u, middle / stretch * u[:, None]]), (model.y - y_mean) * u, stretch, centre, y_mean


def _information(x, y, outing, u2, grid: Scales) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Per grid point: X'V⁻¹X, X'V⁻¹y, y'V⁻¹y and ln|V| (but for a constant), by sums over outings."""
    order = np.argsort(outing, kind="stable")
    starts = np.flatnonzero(np.diff(outing[order], prepend=-1))
    u = np.sqrt(u2)[order]
    all_of = np.column_stack([x, y])[order]
    sums = np.add.reduceat(all_of * u[:, None], starts, axis=0)
    weight, group = np.unique(np.round(np.add.reduceat(u**2, starts), 9), return_inverse=True)
    size = all_of.shape[1]
    # Outings of the same weight share one factor: their products are added up once.
    products = np.stack([sums[group == g].T @ sums[group == g] for g in range(len(weight))]).reshape(len(weight), -1)
    count = np.bincount(group, minlength=len(weight))
    sigma2, tau2 = grid.sigma**2, grid.tau**2
    phi = tau2[:, None] / (sigma2[:, None] + weight * tau2[:, None])
    whole = (all_of.T @ all_of).ravel()
    info = ((whole - phi @ products) / sigma2[:, None]).reshape(-1, size, size)
    ln_v = len(u) * np.log(sigma2) + np.log1p(weight * (tau2 / sigma2)[:, None]) @ count
    return info[:, :-1, :-1], info[:, :-1, -1], info[:, -1, -1], ln_v
