"""Median of slopes: the published example, scipy, Student's t, and what must hold for any data."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.ageing.student import t_quantile
from garage.calc.ageing.theil_sen import kendall_sigma, theil_sen
from garage.paths import SHARED_DIR
from tests.late import Late

stats = Late("scipy.stats")
CHECKS = {one["id"]: one for one in json.loads((SHARED_DIR / "reference" / "checks.json").read_text("utf-8"))}
SEN = CHECKS["STAT-10"]
few = st.lists(st.tuples(st.integers(0, 40), st.integers(-50, 50)), min_size=3, max_size=25)


def test_the_example_of_sen_1968_outside_from_memory():
    """STAT-10, expected_origin "outside, from memory"; the interval is scipy's for 95 %."""
    found = theil_sen(SEN["inputs"]["x"], SEN["inputs"]["y"], confidence=0.95)
    expected = SEN["expected"]
    assert found.value == pytest.approx(expected["slope"]["value"], abs=1e-12)
    assert found.low == pytest.approx(expected["low"]["value"], abs=1e-6)
    assert found.high == pytest.approx(expected["high"]["value"], abs=1e-9)


@given(few, st.sampled_from([0.8, 0.9, 0.95]))
def test_slope_and_interval_agree_with_scipy_with_ties_in_one_of_both(pairs, confidence):
    """With ties in both, scipy leaves out the terms that belong to them and may have no interval at all."""
    x, y = [float(a) for a, _ in pairs], [float(b) for _, b in pairs]
    if len(set(x)) < 2:
        return
    ours, theirs = theil_sen(x, y, confidence), stats.theilslopes(y, x, confidence)
    assert ours.value == pytest.approx(theirs.slope, abs=1e-12)
    if len(set(x)) < len(x) and len(set(y)) < len(y):
        return
    assert (ours.low, ours.high) == pytest.approx((theirs.low_slope, theirs.high_slope), abs=1e-12)


@given(few)
def test_the_spread_of_kendalls_statistic_agrees_with_scipy_with_ties_in_both(pairs):
    """scipy.stats.kendalltau's own normal approximation, from its p value."""
    x, y = [float(a) for a, _ in pairs], [float(b) for _, b in pairs]
    if len(set(x)) < 2 or len(set(y)) < 2:
        return
    p = stats.kendalltau(x, y, method="asymptotic").pvalue
    concordant = sum(
        ((x[i] > x[j]) - (x[i] < x[j])) * ((y[i] > y[j]) - (y[i] < y[j])) for i in range(len(x)) for j in range(i)
    )
    if concordant and 1e-12 < p < 1:
        assert kendall_sigma(x, y) == pytest.approx(abs(concordant) / stats.norm.isf(p / 2), rel=1e-6)


@given(few, st.floats(-5, 5), st.floats(-100, 100))
def test_a_line_added_to_the_data_is_added_to_the_slope(pairs, slope, level):
    x, y = [float(a) for a, _ in pairs], [float(b) for _, b in pairs]
    if len(set(x)) < 2:
        return
    moved = [b + level + slope * a for a, b in zip(x, y, strict=True)]
    assert theil_sen(x, moved).value == pytest.approx(theil_sen(x, y).value + slope, abs=1e-6)


def test_a_quarter_of_wild_readings_does_not_carry_the_slope_away():
    x = list(range(20))
    y = [2.0 * a for a in x]
    for place in (3, 8, 13, 18):
        y[place] += 500
    assert theil_sen(x, y).value == pytest.approx(2.0)


def test_one_cycle_only_has_no_slope():
    with pytest.raises(ValueError, match="two different cycles"):
        theil_sen([4, 4, 4], [1, 2, 3])


@pytest.mark.parametrize("degrees", [1, 2, 3, 4, 5, 8, 13, 23, 38, 120])
@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.99])
def test_students_t_agrees_with_scipy(degrees, confidence):
    assert t_quantile(confidence, degrees) == pytest.approx(stats.t.ppf(0.5 + confidence / 2, degrees), rel=1e-9)


@pytest.mark.parametrize(("confidence", "degrees"), [(0, 4), (1, 4), (0.9, 0)])
def test_a_quantile_that_is_none_is_refused(confidence, degrees):
    with pytest.raises(ValueError):
        t_quantile(confidence, degrees)
