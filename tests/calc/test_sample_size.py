"""How many runs: Cohen's tables, the normal factor, and scipy's noncentral t."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import sample_size
from tests.late import Late
from tests.published import CHECKS, holds, named, value

power_of = Late("statsmodels.stats.power")


@pytest.mark.parametrize(("check", "name"), named("STAT-17", "n_exact", "n_Cohen"))
def test_runs_on_each_side(check, name):
    assert holds([sample_size.runs_per_side(effect) for effect in CHECKS[check]["inputs"]["d"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("STAT-18", "n"))
def test_pairs(check, name):
    assert holds([sample_size.pairs(effect) for effect in CHECKS[check]["inputs"]["dz"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("STAT-19", "two_sided_90", "two_sided_80"))
def test_factor_of_the_normal_approximation(check, name):
    assert holds(sample_size.normal_factor(int(name[-2:]) / 100), check, name)


@pytest.mark.parametrize("freedom", [1, 1.5, 4, 17, 300])
@pytest.mark.parametrize("probability", [0.9, 0.95, 0.975, 0.995])
def test_quantiles_of_student_are_those_of_scipy(freedom, probability):
    stats = pytest.importorskip("scipy.stats")
    expected = stats.t.ppf(probability, freedom)
    assert sample_size.student_quantile(probability, freedom) == pytest.approx(expected, rel=1e-7)


@given(st.floats(min_value=0.3, max_value=3), st.floats(min_value=0.5, max_value=0.95))
def test_a_smaller_difference_a_better_chance_and_more_confidence_take_more_runs(effect, power):
    runs = sample_size.runs_per_side(effect, power)
    assert sample_size.runs_per_side(effect * 0.8, power) >= runs
    assert sample_size.runs_per_side(effect, power + 0.04) >= runs
    assert sample_size.runs_per_side(effect, power, 0.90) <= runs


@given(st.floats(min_value=0.2, max_value=1.5))
def test_never_fewer_than_the_normal_approximation(effect):
    assert sample_size.runs_per_side(effect) > 2 * sample_size.normal_factor() / effect**2 - 1e-6
    assert value("STAT-19", "two_sided_80") == pytest.approx(sample_size.normal_factor(), abs=1e-4)


def test_a_difference_of_next_to_nothing_takes_more_than_anyone_can_drive():
    assert sample_size.runs_per_side(0.0001) == float("inf")


@pytest.mark.parametrize("effect", [0.3, 0.8, 1.5, 3.0])
@pytest.mark.parametrize("power", [0.5, 0.8, 0.95])
def test_runs_are_those_of_statsmodels(effect, power):
    """Which finds no fewer than two on a side."""
    asked = {"effect_size": effect, "power": power}
    for confidence in (0.8, 0.95):
        for of, solver in ((sample_size.runs_per_side, "TTestIndPower"), (sample_size.pairs, "TTestPower")):
            found = of(effect, power, confidence)
            if found > 2.01:
                expected = getattr(power_of, solver)().solve_power(**asked, alpha=1 - confidence)
                assert found == pytest.approx(float(expected), rel=1e-5)


def test_two_runs_are_the_fewest():
    assert sample_size.runs_per_side(60.0) == 2.0 and sample_size.pairs(60.0, 0.5, 0.5) == 2.0
    # A million are the most.
    assert sample_size.runs_per_side(0.0041) < 1e6 and sample_size.runs_per_side(0.0039) == float("inf")
    assert sample_size.pairs(0.00285) < 1e6 and sample_size.pairs(0.00275) == float("inf")
