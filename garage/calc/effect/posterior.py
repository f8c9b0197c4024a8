"""The one estimator: a linear model with stated priors and outings as blocks, averaged over the two scatters.

For each pair of scatters on a grid (sigma from run to run, tau from outing to outing) the posterior is normal in
closed form; the answer is their mixture. Outings enter by sums over their runs, so a grid point costs the square of
the number of columns, whatever the number of runs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache

from garage.calc.arrays import np
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import normal_below, normal_quantile

SIGMA_POINTS, SIGMA_REACH = 25, 3.0
TAU_POINTS, TAU_REACH = 7, 2.5
# Points of the grid whose weight is below e^-25 (1e-11) of the largest are dropped: no printed digit knows them.
_LN_NEGLIGIBLE = 25.0
_BEYOND_ALL = 1e300
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
    """The fitted model: weights of the kept grid points, and the equations that hold at each of them."""

    weights: np.ndarray
    sigma: np.ndarray
    tau: np.ndarray
    _right: np.ndarray
    _precision: np.ndarray
    _stretch: np.ndarray
    _centre: np.ndarray
    _y_mean: float

    @property
    def mean_sigma(self) -> float:
        """Posterior mean of the scatter from run to run."""
        return float(self.weights @ self.sigma)

    @property
    def mean_tau(self) -> float:
        """Posterior mean of the scatter from outing to outing."""
        return float(self.weights @ self.tau)

    @cached_property
    def _mean(self) -> np.ndarray:
        return self.weights @ np.linalg.solve(self._precision, self._right[..., None])[..., 0]

    @cached_property
    def coefficients(self) -> np.ndarray:
        """Posterior means of the coefficients of the columns as given."""
        return self._mean[1:] / self._stretch

    @cached_property
    def intercept(self) -> float:
        """Posterior mean of b0."""
        return float(self._mean[0] + self._y_mean - self.coefficients @ self._centre)

    def contrast(self, c: np.ndarray) -> Mixture:
        """The distribution of c'b, for one weight per column."""
        inner = np.broadcast_to(np.concatenate([[0.0], c / self._stretch]), self._right.shape)
        _, (right, asked) = _halved(self._precision, self._right, inner)
        return Mixture(self.weights, (asked * right).sum(axis=1), np.sqrt((asked**2).sum(axis=1)))


def _halved(precision: np.ndarray, *sides: np.ndarray) -> tuple[np.ndarray, list[np.ndarray]]:
    """ln|L| and C⁻¹ of each side, where L = C C', at every grid point.

    The sides are put below L as further rows, with a diagonal too large for anything to be felt of it: one
    factorisation then gives what would take it and a solution besides. LinAlgError where L is singular.
    """
    points, size = precision.shape[:2]
    bordered = np.zeros((points, size + len(sides), size + len(sides)))
    bordered[:, :size, :size] = precision
    for place, side in enumerate(sides, size):
        bordered[:, place, :size] = side
        bordered[:, place, place] = _BEYOND_ALL
    factor = np.linalg.cholesky(bordered)
    ln_det = 2 * np.log(np.diagonal(factor, axis1=1, axis2=2)[:, :size]).sum(axis=1)
    return ln_det, [factor[:, place, :size] for place in range(size, size + len(sides))]


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
        ln_det, (halved,) = _halved(precision, right)
    except np.linalg.LinAlgError:
        raise ValueError("Some columns cannot be told apart, and nothing is assumed about them.") from None
    ln_w = grid.ln_prior - (ln_v + ln_det + fit_of_y + m0 @ (q * m0) - (halved**2).sum(axis=1)) / 2
    kept = ln_w > ln_w.max() - _LN_NEGLIGIBLE
    weights = np.exp(ln_w[kept] - ln_w.max())
    weights /= weights.sum()
    return Posterior(weights, grid.sigma[kept], grid.tau[kept], right[kept], precision[kept], stretch, centre, y_mean)


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
    ordered = outing[order]
    starts = np.flatnonzero(np.concatenate([[True], ordered[1:] != ordered[:-1]]))
    u = np.sqrt(u2)[order]
    all_of = np.column_stack([x, y])[order]
    sums = np.add.reduceat(all_of * u[:, None], starts, axis=0)
    of_outing = np.add.reduceat(u**2, starts).round(9).tolist()
    # Outings of the same weight share one factor: their products are added up once.
    alike: dict[float, list[int]] = {}
    for place, each in enumerate(of_outing):
        alike.setdefault(each, []).append(place)
    weight, size = np.array(list(alike)), all_of.shape[1]
    products = np.array([(sums[places].T @ sums[places]).ravel() for places in alike.values()])
    count = np.array([len(places) for places in alike.values()])
    sigma2, tau2 = grid.sigma**2, grid.tau**2
    phi = tau2[:, None] / (sigma2[:, None] + weight * tau2[:, None])
    whole = (all_of.T @ all_of).ravel()
    info = ((whole - phi @ products) / sigma2[:, None]).reshape(-1, size, size)
    ln_v = len(u) * np.log(sigma2) + np.log1p(weight * (tau2 / sigma2)[:, None]) @ count
    return info[:, :-1, :-1], info[:, :-1, -1], info[:, -1, -1], ln_v
