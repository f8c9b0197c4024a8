"""The robust fit and what is made of it, held against statsmodels, against scipy, and worked out by hand."""

import math

import numpy as np
import pytest

from garage.calc.ageing.cells import drift
from garage.calc.ageing.robust import fit_robustly, median, robust_sigma, wild
from garage.calc.ageing.settling import settling
from garage.calc.ageing.temperature import USUAL, Constant, at_reference, own_constant, ratio_to_reference
from garage.calc.ageing.trend import Forecast, Trend, forecast, trend
from tests.late import Late

statsmodels = Late("statsmodels.api")
stats = Late("scipy.stats")


def _noisy(seed: int, count: int = 30) -> tuple[np.ndarray, np.ndarray]:
    """A plane with noise and every seventh reading wild."""
    draws = np.random.default_rng(seed)
    columns = np.column_stack([np.ones(count), np.arange(count) / 10, draws.normal(size=count)])
    values = columns @ [2.0, 0.5, -1.0] + draws.normal(0, 0.1, count)
    values[::7] += 3.0
    return columns, values


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_robust_fit_is_that_of_statsmodels_with_hubers_weights(seed):
    columns, values = _noisy(seed)
    norm = statsmodels.robust.norms.HuberT(1.345)
    reference = statsmodels.RLM(values, columns, norm).fit(maxiter=200, tol=1e-12, scale_est="mad")
    found = fit_robustly(columns.tolist(), values.tolist())
    assert found.coefficients == pytest.approx(reference.params, abs=2e-4)
    assert found.scale == pytest.approx(reference.scale, rel=2e-3)


@pytest.mark.parametrize("scale", [None, 0.2])
def test_errors_and_loss_follow_from_what_is_left(scale):
    columns, values = _noisy(4)
    found = fit_robustly(columns.tolist(), values.tolist(), scale)
    left = np.abs(values - columns @ found.coefficients)
    assert found.scale == pytest.approx(0.2 if scale else 1.4826 * np.median(left), rel=1e-6)
    weights = np.minimum(1, 1.345 * found.scale / left)
    variance = (weights * left**2).sum() / (30 - 3)
    assert found.errors == pytest.approx(
        np.sqrt(np.diag(np.linalg.inv(columns.T * weights @ columns)) * variance), rel=1e-3
    )
    away = left / found.scale
    assert found.loss == pytest.approx(sum(a * a if a <= 1.345 else 1.345 * (2 * a - 1.345) for a in away), rel=1e-6)


def test_as_many_unknowns_as_readings_are_fitted_and_more_are_not():
    assert fit_robustly([[1.0, 0.0], [1.0, 1.0]], [1.0, 3.0]).coefficients == pytest.approx([1, 2])
    with pytest.raises(ValueError, match="fewer readings"):
        fit_robustly([[1.0, 0.0]], [1.0])
    exact = fit_robustly([[1.0, float(n)] for n in range(9)], [2.0 * n for n in range(9)])
    assert exact.coefficients == pytest.approx([0, 2], abs=1e-9) and max(exact.errors) < 1e-8


def test_the_middle_and_the_spread_around_it():
    assert [median(values) for values in ([3.0], [1.0, 4.0], [9.0, 1.0, 4.0], [1.0, 2.0, 4.0, 9.0])] == [3, 2.5, 4, 3]
    assert robust_sigma([1.0, 2.0, 3.0, 7.0, 9.0]) == pytest.approx(1.4826 * 2)
    with pytest.raises(ValueError, match="no values"):
        median([])


@pytest.mark.parametrize(
    ("values", "places"),
    [
        ([2, 2, 2, 4, 2], []), ([2, 2, 2, 4.1, 2], [3]), ([2, 2, 2, 1, 2], []), ([2, 2, 2, 0.9, 2], [3]),
        ([2, 0, 2, -1, math.nan, math.inf, 2], [1, 3, 4, 5]), ([2, 9], []), ([2, 9, 2], [1]), ([9, 2, 2], [0]),
        # Three on either side are its neighbours: of seven four are of its own kind.
        ([2] * 4 + [9] * 4, []), ([2] * 5 + [9] * 3 + [2] * 5, [5, 6, 7]), ([], []),
    ],
)  # fmt: skip
def test_what_is_more_than_twice_or_less_than_half_of_its_neighbours_is_wild(values, places):
    assert wild(values) == places


def test_a_reading_over_three_times_its_neighbours_may_be_asked_for():
    assert wild([2, 2, 2, 5.9, 2], 3.0) == [] and wild([2, 2, 2, 6.1, 2], 3.0) == [3]


CYCLES = [1.0, 4.0, 6.0, 9.0, 15.0, 20.0]


def test_a_trend_has_the_error_of_a_median_and_a_band_by_students_t():
    off = (0, 0.02, -0.01, 0.03, 0, -0.02)
    values = [2.0 * math.exp(0.01 * cycle + each) for cycle, each in zip(CYCLES, off, strict=True)]
    found = trend(CYCLES, values)
    middle = sum(CYCLES) / 6
    levels = [math.log(value) - found.slope * (cycle - middle) for cycle, value in zip(CYCLES, values, strict=True)]
    assert (found.middle, found.level, found.count) == pytest.approx((middle, np.median(levels), 6))
    spread = 1.4826 * np.median(np.abs(np.array(levels) - np.median(levels)))
    assert found.level_error == pytest.approx(1.2533 * spread / 6**0.5)
    assert found.slope == pytest.approx(stats.theilslopes(np.log(values), CYCLES)[0])
    assert found.value(30.0) == pytest.approx(math.exp(found.level + found.slope * (30 - middle)))
    for confidence in (0.9, 0.5):
        half = stats.t.ppf(0.5 + confidence / 2, 4) * math.hypot(found.level_error, found.slope_error * (30 - middle))
        told = found.band(30.0, confidence)
        assert told == pytest.approx((found.value(30.0) * math.exp(-half), found.value(30.0) * math.exp(half)))
    assert found.band(30.0) == found.band(30.0, 0.9)


def _line(slope: float, error: float, level_error: float = 0.001) -> Trend:
    return Trend(10.0, 0.0, level_error, slope, slope - error, slope + error, error, 12)


def test_where_a_line_meets_a_limit_and_between_which_cycles():
    """The ends are where its band does: (rise - slope c)² = t² (level error² + slope error² c²)."""
    t = stats.t.ppf(0.95, 10)
    found = forecast(_line(0.01, 0.002), math.exp(0.2))
    assert found.cycle == pytest.approx(30) and found.says_something
    for end in (found.earliest, found.latest):
        away = end - 10
        assert (0.2 - 0.01 * away) ** 2 == pytest.approx(t**2 * (0.001**2 + (0.002 * away) ** 2), rel=1e-9)
    assert found.earliest < 30 < found.latest
    behind = forecast(_line(0.01, 0.002), math.exp(-0.2))
    assert (behind.cycle, behind.says_something) == (None, False)
    flat = forecast(_line(0.001, 0.002), math.exp(0.2))
    assert flat.cycle == pytest.approx(210) and flat.latest is None and not flat.says_something
    assert (0.2 - 0.001 * (flat.earliest - 10)) ** 2 == pytest.approx(
        t**2 * (0.001**2 + (0.002 * (flat.earliest - 10)) ** 2), rel=1e-9
    )
    assert not Forecast(None, 1.0, 2.0).says_something and not Forecast(1.0, 2.0, None).says_something


@pytest.mark.parametrize(("mohm", "celsius"), [(5.0, 10.0), (5.0, 40.0), (8.0, 25.0)])
def test_the_range_of_a_resistance_is_made_of_its_constant_and_a_kelvin(mohm, celsius):
    away = 1 / (celsius + 273.15) - 1 / 298.15
    found = at_reference(mohm, celsius, Constant(2600, 2000, 3500, False))
    assert found.value == pytest.approx(mohm / math.exp(2600 * away))
    kelvin = 2600 / (celsius + 273.15) ** 2
    for end, constant in ((found.low, 3500 if away > 0 else 2000), (found.high, 2000 if away > 0 else 3500)):
        assert abs(math.log(end / found.value)) == pytest.approx(math.hypot((constant - 2600) * away, kelvin))
    assert found.low < found.value < found.high and Constant(2600, 2000, 3500, False) == USUAL
    assert ratio_to_reference(-273.1, 0.0) == 1.0


def _readings(constant: float, count: int = 12, span: float = 20.0, noise: float = 0.0):
    draws = np.random.default_rng(5)
    celsius = [10 + span * (place % 4) / 3 for place in range(count)]
    mohm = [5 * ratio_to_reference(c, constant) * math.exp(noise * draws.normal()) for c in celsius]
    return [float(n) for n in range(count)], celsius, mohm


@pytest.mark.parametrize(
    ("constant", "more", "is_own"),
    [
        (3000, {}, True), (3000, {"count": 7}, False), (3000, {"count": 8}, True), (3000, {"span": 9.9}, False),
        (3000, {"span": 10.0}, True), (1510, {}, True), (1490, {}, False), (5240, {}, True), (5260, {}, False),
    ],
)  # fmt: skip
def test_an_own_constant_asks_for_eight_readings_over_ten_kelvin_and_is_plausible(constant, more, is_own):
    found = own_constant(*_readings(constant, **more))
    assert found.own == is_own
    if is_own:
        assert found.value_k == pytest.approx(constant)
        # Never surer than a twentieth.
        assert (found.low_k, found.high_k) == pytest.approx((0.95 * constant, 1.05 * constant))
    else:
        assert found == USUAL


def test_an_own_constant_is_as_sure_as_its_fit():
    cycles, celsius, mohm = _readings(3000, noise=0.05)
    found = own_constant(cycles, celsius, mohm)
    columns = [[1, n - 5.5, 1 / (c + 273.15) - 1 / 298.15] for n, c in zip(cycles, celsius, strict=True)]
    fit = fit_robustly(columns, np.log(mohm).tolist())
    assert found.own and found.high_k - found.value_k == pytest.approx(1.645 * fit.errors[2])
    assert found.high_k - found.value_k > 0.05 * found.value_k
    assert own_constant(*_readings(3000, noise=0.4)) == USUAL


def _settled(gain: float, pace: float, cycles) -> list[float]:
    return [3 * math.exp(gain * math.exp(-(cycle - 1) / pace)) for cycle in cycles]


@pytest.mark.parametrize("pace", [1.0, 1.5, 2.0, 3.0, 4.0, 6.0])
def test_a_pack_has_settled_where_a_fiftieth_is_left(pace):
    cycles = [1, 2, 3, 4, 6, 8, 10, 14, 20, 30]
    found = settling(cycles, _settled(0.3, pace, cycles))
    assert found.cycle == pytest.approx(1 + pace * math.log(0.3 / 0.02), rel=1e-3)
    assert found.fell == pytest.approx(math.expm1(0.3), rel=1e-3) and found.gain > 0 and found.count == 10


@pytest.mark.parametrize(("gain", "is_proven"), [(0.021, True), (0.019, False)])
def test_a_fall_within_a_fiftieth_is_none(gain, is_proven):
    cycles = [1, 2, 3, 4, 6, 8, 10, 14, 20, 30]
    found = settling(cycles, _settled(gain, 2.0, cycles))
    assert (found.cycle is not None) == is_proven and found.gain > 0


@pytest.mark.parametrize(
    ("cycles", "is_proven"),
    [
        ([1, 2, 3, 4, 8, 12], True), ([1, 2, 3, 4, 12], False), ([1, 1, 2, 2, 3, 3, 3], False),
        ([1, 1, 2, 3, 12, 12], True),
    ],
)  # fmt: skip
def test_settling_asks_for_six_readings_at_four_cycles(cycles, is_proven):
    found = settling(cycles, _settled(0.5, 2.0, cycles))
    assert (found.cycle is not None) == is_proven and found.count == len(cycles)


def test_a_drift_needs_readings_at_two_cycles_and_tells_its_last():
    assert drift([1, 1, 1, 1, 1], [1.0, 1.1, 1.2, 1.3, 1.4]) is None
    assert drift([1, 2, 3, 4], [1.0, 1.1, 1.2, 1.3]) is None
    assert drift([1, 2, 2, 2, 2], [1.0, 1.1, 1.2, 1.3, 1.4]).now == 1.4
