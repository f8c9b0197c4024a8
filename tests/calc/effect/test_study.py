"""A small fixed study: where the truth is known, intervals hold it as often as they say, and false verdicts are rare.

300 notebooks a case, fixed seeds; limits are four standard errors from the rates of the large study.
"""

from math import sqrt

import pytest

from tests.benchmarks.effect_study import BROKEN, study

REPLICATES = 300
# Case: bias of the naive difference and of the method in points; cover of 90 %; share found at a true +8 points.
EXPECTED = {
    "A": (0.05, 0.04, 0.93, 0.97),
    "C": (0.0, 0.02, 0.98, None),
    "D": (1.8, 0.4, 0.94, 0.76),
    "E": (-1.9, -0.2, 0.97, 0.0),
    "F": (1.2, 0.2, 0.95, 0.86),
    "G": (-0.07, 0.03, 0.91, 0.99),
}


def _margin(share: float) -> float:
    return 4 * sqrt(max(share * (1 - share), 0.02) / REPLICATES)


@pytest.mark.parametrize("case", EXPECTED)
def test_intervals_hold_the_truth_and_false_verdicts_are_rare(case):
    naive_bias, bias, cover, _ = EXPECTED[case]
    found = study(case, REPLICATES)
    assert found.naive_bias == pytest.approx(naive_bias, abs=0.9)
    assert found.bias == pytest.approx(bias, abs=0.55)
    assert found.cover_90 == pytest.approx(cover, abs=_margin(cover))
    assert found.wrong <= 0.04 + _margin(0.04)


@pytest.mark.parametrize("case", ["A", "D", "E", "F", "G"])
def test_large_gains_are_found_where_the_runs_can_tell(case):
    power = EXPECTED[case][3]
    assert study(case, REPLICATES, gain_points=8.0).gain == pytest.approx(power, abs=_margin(power))


def test_a_change_made_together_with_a_new_pack_is_never_claimed():
    assert study("E", REPLICATES, gain_points=4.0).gain == 0


@pytest.mark.parametrize("name", BROKEN)
def test_a_world_that_is_not_as_assumed_still_gives_few_false_verdicts(name):
    assert study("D", REPLICATES, world=BROKEN[name]).wrong <= 0.055 + _margin(0.055)
