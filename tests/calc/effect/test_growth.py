"""A whole answer takes work in proportion to the runs: nothing in it compares every outing with every other."""

import sys
import tracemalloc
from collections.abc import Callable

from garage.calc.effect.answer import answer
from tests.benchmarks.effect_speed import QUESTION, notebook

FEW, MANY = 300, 6_000


def test_twenty_times_the_runs_take_about_twenty_times_the_calls_and_the_memory():
    """Loops over all pairs would take some 400 times the calls, a table of all pairs 400 times the memory."""
    few, many = (_work(lambda runs=runs: answer(*notebook(runs, 3, runs // 3), QUESTION)) for runs in (FEW, MANY))
    assert many[0] / few[0] < 40, "calls"
    assert many[1] / few[1] < 40, "memory"


def _work(task: Callable[[], object]) -> tuple[int, int]:
    """Functions called, and the most bytes held at once."""
    calls = [0]

    def count(_frame: object, what: str, _of: object) -> None:
        calls[0] += what in ("call", "c_call")

    tracemalloc.start()
    sys.setprofile(count)
    try:
        task()
    finally:
        sys.setprofile(None)
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    return calls[0], most
