"""Ratings compared by their order alone. References: scipy's rank tests, exact and with ties."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.calc.effect.ratings import compare_ratings
from tests.late import Late

stats = Late("scipy.stats")

RATING = st.integers(1, 5)


def test_without_ties_the_p_value_is_the_exact_rank_test():
    having, lacking = [3, 5, 4], [1, 2]
    reference = stats.mannwhitneyu(having, lacking, method="exact")
    found = compare_ratings(having, lacking)
    assert found.p_value == pytest.approx(reference.pvalue)
    assert found.chance_above == reference.statistic / 6 == 1


@settings(max_examples=25)
@given(having=st.lists(RATING, min_size=2, max_size=5), lacking=st.lists(RATING, min_size=2, max_size=5))
def test_with_ties_the_p_value_is_that_of_all_deals(having, lacking):
    """Reference: scipy's permutation test over all deals of the ratings."""

    def far(first, second):
        wins = stats.rankdata([*first, *second])[: len(first)].sum()
        return abs(wins - len(first) * (len(first) + len(second) + 1) / 2)

    reference = stats.permutation_test(
        (having, lacking),
        far,
        alternative="greater",
        n_resamples=10**6,
        vectorized=False,
        permutation_type="independent",
    )
    if len(set(having + lacking)) > 1:
        assert compare_ratings(having, lacking).p_value == pytest.approx(reference.pvalue, abs=1e-9)


def test_many_ratings_follow_the_normal_law_with_ties():
    having, lacking = [4, 5, 4, 3] * 8, [3, 3, 4, 2] * 8
    reference = stats.mannwhitneyu(having, lacking, method="asymptotic")
    assert compare_ratings(having, lacking).p_value == pytest.approx(reference.pvalue, rel=1e-9)


@given(having=st.lists(RATING, min_size=1, max_size=8), lacking=st.lists(RATING, min_size=1, max_size=8))
def test_turned_round_everything_is_turned_round(having, lacking):
    one, other = compare_ratings(having, lacking), compare_ratings(lacking, having)
    assert one.chance_above == pytest.approx(1 - other.chance_above)
    assert one.p_value == pytest.approx(other.p_value)
    assert 0 < one.interval_90[0] < one.interval_90[1] < 1
    assert one.interval_90 == pytest.approx([1 - end for end in reversed(other.interval_90)])


def test_nothing_is_said_without_ratings_on_both_sides():
    with pytest.raises(ValueError, match="both sides"):
        compare_ratings([3], [])
