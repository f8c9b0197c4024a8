"""The estimator against statsmodels and scipy, published paired data, and regressions that NIST certified."""

import json
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.calc.effect.point import at_point, v_inverse
from garage.calc.effect.posterior import Model, Scales, fit
from garage.paths import SHARED_DIR
from tests.late import Late

sm, linalg, stats = Late("statsmodels.api"), Late("scipy.linalg"), Late("scipy.stats")

CHECKS = {check["id"]: check for check in json.loads((SHARED_DIR / "reference" / "checks.json").read_text("utf-8"))}


def _flat(x: np.ndarray, y: np.ndarray, outing=None, k=None) -> Model:
    """A model in which nothing is assumed about any column."""
    rows, columns = x.shape
    outing = np.zeros(rows, dtype=int) if outing is None else outing
    return Model(x, y, outing, np.ones(rows) if k is None else k, np.zeros(columns), np.full(columns, np.inf))


def _any_scatter(around: float, tau: float = 0.0, points: int = 400) -> Scales:
    """Nothing assumed about sigma: flat in its logarithm, from a fiftieth to fifty times `around`."""
    sigma = around * np.exp(np.linspace(-4, 4, points))
    return Scales(sigma, np.full(points, tau), np.zeros(points))


def _expected(check: str, name: str) -> float:
    return CHECKS[check]["expected"][name]["value"]


def _random_design(seed: int, rows: int = 30, columns: int = 5) -> tuple[np.ndarray, np.ndarray]:
    draws = np.random.default_rng(seed)
    x = np.column_stack([draws.integers(0, 2, rows), draws.normal(size=(rows, columns - 1)) * [3, 0.1, 40, 1]])
    return x, 4 + x @ draws.normal(size=columns) * 0.01 + draws.normal(size=rows) * 0.02


@pytest.mark.parametrize("seed", range(5))
def test_nothing_assumed_is_least_squares(seed):
    """Reference: statsmodels, ordinary least squares with its t intervals."""
    x, y = _random_design(seed)
    reference = sm.OLS(y, sm.add_constant(x)).fit()
    posterior = fit(_flat(x, y), _any_scatter(0.02))
    assert posterior.coefficients == pytest.approx(reference.params[1:], abs=1e-8, rel=1e-8)
    assert posterior.intercept == pytest.approx(reference.params[0], rel=1e-8)
    for place, (low, high) in enumerate(reference.conf_int(0.10)[1:]):
        mixture = posterior.contrast(np.eye(x.shape[1])[place])
        assert (mixture.quantile(0.05), mixture.quantile(0.95)) == pytest.approx((low, high), abs=1e-8, rel=1e-6)


def test_unequal_ways_of_knowing_are_weighted_least_squares():
    """Reference: statsmodels, weighted least squares."""
    x, y = _random_design(11)
    k = np.tile([1.0, 2.0, 4.0], 10)
    reference = sm.WLS(y, sm.add_constant(x), weights=1 / k).fit()
    assert fit(_flat(x, y, k=k), _any_scatter(0.02)).coefficients == pytest.approx(reference.params[1:], rel=1e-8)


def test_two_groups_are_the_pooled_t_test():
    """STAT-02 (value from an independent reference library): shoes, taken as two groups."""
    first, second = (np.array(CHECKS["STAT-02"]["inputs"][name]) for name in "AB")
    x = np.repeat([0.0, 1.0], 10)[:, None]
    mixture = fit(_flat(x, np.concatenate([first, second])), _any_scatter(2.5)).contrast(np.ones(1))
    assert 2 * mixture.below(0) == pytest.approx(_expected("STAT-02", "p"), abs=1e-4)
    reference = stats.ttest_ind(second, first)
    low, high = reference.confidence_interval(0.90)
    assert mixture.mean == pytest.approx(0.41, abs=1e-9)
    assert (mixture.quantile(0.05), mixture.quantile(0.95)) == pytest.approx((low, high), rel=1e-6)


def _paired(first: np.ndarray, second: np.ndarray):
    pairs = len(first)
    x = np.repeat([0.0, 1.0], pairs)[:, None]
    outing = np.tile(np.arange(pairs), 2)
    return fit(_flat(x, np.concatenate([first, second]), outing), _any_scatter(0.4, tau=200.0)).contrast(np.ones(1))


def test_pairs_as_days_are_the_paired_t_test_on_shoes():
    """STAT-01 (outside, from memory): Box, Hunter, Hunter, Statistics for Experimenters, 2005, table 3.5."""
    inputs = CHECKS["STAT-01"]["inputs"]
    mixture = _paired(np.array(inputs["A"]), np.array(inputs["B"]))
    assert mixture.mean == pytest.approx(_expected("STAT-01", "dbar"), abs=1e-6)
    assert 2 * mixture.below(0) == pytest.approx(_expected("STAT-01", "p"), abs=2e-5)
    assert (mixture.quantile(0.025), mixture.quantile(0.975)) == pytest.approx(
        (_expected("STAT-01", "ci_low"), _expected("STAT-01", "ci_high")), abs=1e-4
    )


def test_pairs_as_days_are_the_paired_t_test_on_sleep():
    """STAT-05 (outside, from memory): Student, The probable error of a mean, 1908."""
    inputs = CHECKS["STAT-05"]["inputs"]
    mixture = _paired(np.array(inputs["group1"]), np.array(inputs["group2"]))
    assert 2 * mixture.below(0) == pytest.approx(_expected("STAT-05", "p"), abs=2e-5)


def test_longley_as_nist_certified_it():
    """STAT-08 (outside, packaged): NIST StRD Longley, columns that are hard to tell apart."""
    data = sm.datasets.longley.load_pandas()
    x, y = data.exog.to_numpy(dtype=float), data.endog.to_numpy(dtype=float)
    posterior = fit(_flat(x, y), _any_scatter(300.0))
    for name, found in zip(data.exog.columns, posterior.coefficients, strict=True):
        assert found == pytest.approx(_expected("STAT-08", name), rel=1e-7)
    assert posterior.intercept == pytest.approx(_expected("STAT-08", "const"), rel=1e-7)
    left = y - posterior.intercept - x @ posterior.coefficients
    assert np.sqrt(left @ left / (len(y) - 7)) == pytest.approx(_expected("STAT-08", "resid_sd"), rel=1e-8)


def test_resistivity_between_instruments_as_nist_certified_it():
    """STAT-09 (outside, packaged): NIST StRD SiRstv. F is the fitted differences against their own precision."""
    text = files("scipy.stats.tests").joinpath("data", "nist_anova", "SiRstv.dat").read_text("utf-8")
    rows = np.array([[float(cell) for cell in line.split()] for line in text.splitlines()[60:] if line.split()])
    x = (rows[:, :1] == np.arange(2, 6)).astype(float)
    posterior = fit(_flat(x, rows[:, 1]), Scales(np.ones(1), np.zeros(1), np.zeros(1)))
    precision = at_point(_flat(x, rows[:, 1]), 1.0, 0.0).precision
    covariance = np.linalg.inv(precision)[1:, 1:]
    left = rows[:, 1] - posterior.intercept - x @ posterior.coefficients
    between = posterior.coefficients @ np.linalg.solve(covariance, posterior.coefficients) / 4
    assert between / (left @ left / (len(rows) - 5)) == pytest.approx(_expected("STAT-09", "F"), rel=1e-7)


@settings(max_examples=15, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    outings=st.integers(1, 8),
    sigma=st.floats(0.005, 0.05),
    tau=st.floats(0.0, 0.1),
)
def test_sums_over_outings_are_the_dense_inverse(seed, outings, sigma, tau):
    """Reference: V written out and inverted; determinant, fit and precision alike."""
    draws = np.random.default_rng(seed)
    n, p = 20, 4
    x, y = draws.normal(size=(n, p)), draws.normal(size=n) * 0.02 + 4
    _, outing = np.unique(draws.integers(0, outings, n), return_inverse=True)
    k = draws.choice([1.0, 2.0, 4.0], n)
    mean, sd = draws.normal(size=p) * 0.01, np.full(p, 0.05)
    dense = sigma**2 * np.diag(k) + tau**2 * (outing[:, None] == outing)
    inverse = np.linalg.inv(dense)
    assert v_inverse(y, outing, k, sigma, tau) == pytest.approx(inverse @ y, rel=1e-6, abs=1e-6 / sigma**2)
    model = Model(x, y, outing, k, mean, sd)
    full = np.column_stack([np.ones(n), x])
    q = np.diag([0.0, *1 / sd**2])
    precision = full.T @ inverse @ full + q
    coefficients = np.linalg.solve(precision, full.T @ inverse @ y + q @ [0.0, *mean])
    two = Scales(np.array([sigma, 1.05 * sigma]), np.array([tau, tau]), np.zeros(2))
    posterior = fit(model, Scales(two.sigma[:1], two.tau[:1], two.ln_prior[:1]))
    assert posterior.coefficients == pytest.approx(coefficients[1:], rel=1e-7, abs=1e-10)
    assert posterior.contrast(np.eye(p)[0]).sd == pytest.approx(np.sqrt(np.linalg.inv(precision)[1, 1]), rel=1e-7)
    # Weights of two grid points against each other: the marginal likelihood is that of the dense model.
    ratio = np.log(np.divide(*fit(model, two).weights))
    dense_ratio = np.subtract(*(_ln_evidence(full, y, outing, k, mean, sd, scatter, tau) for scatter in two.sigma))
    assert ratio == pytest.approx(dense_ratio, abs=1e-6)


def _ln_evidence(full, y, outing, k, mean, sd, sigma, tau) -> float:
    """Log of the density of all differences between the values of y, in which the intercept has no part (scipy)."""
    differences = linalg.null_space(np.ones((1, len(y)))).T
    variance = (
        sigma**2 * np.diag(k) + tau**2 * (outing[:, None] == outing) + full[:, 1:] @ np.diag(sd**2) @ full[:, 1:].T
    )
    middle = differences @ full[:, 1:] @ mean
    return float(stats.multivariate_normal(middle, differences @ variance @ differences.T).logpdf(differences @ y))


def test_budget_terms_add_up_to_the_variance_of_a_random_design():
    draws = np.random.default_rng(3)
    x, y = _random_design(3)
    model = Model(x, y, draws.integers(0, 6, 30), draws.choice([1.0, 2.0, 4.0], 30), np.zeros(5), np.full(5, 0.05))
    point = at_point(model, 0.02, 0.01)
    c = draws.normal(size=5)
    a, g = point.solve(c)[1:], point.weights_of_runs(c)
    terms = ((a / model.prior_sd) ** 2).sum() + 0.02**2 * (model.k @ g**2)
    terms += 0.01**2 * (np.bincount(model.outing, g) ** 2).sum()
    assert terms == pytest.approx(point.variance(c), rel=1e-10)
