"""A cell held against its mates: by hand, and by a plain second look at what the module says."""

import math
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.ageing.cells import FAILING, drift, ratios

CELLS = st.lists(st.floats(0.5, 50), min_size=2, max_size=6)


@given(CELLS)
def test_each_cell_is_told_over_the_middle_of_the_others(cells):
    others = [median(cells[:place] + cells[place + 1 :]) for place in range(len(cells))]
    assert ratios(cells) == pytest.approx([cell / other for cell, other in zip(cells, others, strict=True)])


def test_a_lone_cell_has_no_mates_and_none_have_no_ratios():
    assert ratios([3.0]) == [1.0] and ratios([]) == [] and ratios([2.0, 4.0]) == [0.5, 2.0]
    assert FAILING == 1.5


@pytest.mark.parametrize("rate", [-0.01, 0.0, 0.004, 0.02])
def test_a_drift_is_the_rate_of_the_logarithm_and_only_upwards_counts_as_apart(rate):
    cycles = [0, 5, 10, 15, 20, 25]
    found = drift(cycles, [1.1 * math.exp(rate * cycle) for cycle in cycles])
    assert found.slope == pytest.approx(rate, abs=1e-12) and found.low <= rate + 1e-12 and found.high >= rate - 1e-12
    assert found.now == pytest.approx(1.1 * math.exp(25 * rate)) and found.apart == (rate > 0)


def test_a_drift_that_readings_do_not_prove_is_not_apart():
    found = drift([0, 5, 10, 15, 20], [1.0, 1.2, 0.9, 1.1, 1.0])
    assert found.low < 0 < found.high and not found.apart


def test_a_drift_needs_five_readings_at_two_cycles():
    assert drift([0, 1, 2, 3], [1.0] * 4) is None and drift([3] * 6, [1.0] * 6) is None
    assert drift([0, 0, 0, 0, 1], [1.0] * 5) is not None
