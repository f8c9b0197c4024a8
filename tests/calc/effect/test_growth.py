"""A whole answer takes time in proportion to the runs: nothing in it compares every outing with every other."""

from functools import partial

from garage.calc.effect.answer import answer
from tests.benchmarks.effect_speed import QUESTION, notebook, seconds


def test_thirty_times_the_runs_take_about_thirty_times_as_long():
    """Work that grew with the square would take some 900 times as long; the bound leaves room for a busy machine."""
    few, many = (
        seconds(partial(answer, *notebook(runs, 3, runs // 3), QUESTION), 2) for runs in (1_000, 30_000)
    )
    assert many / few < 150
