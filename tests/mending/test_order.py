"""The order of a day, from clocks that somebody looked at and others."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.mending.order import OutOfOrder, Placed, numbers_after, put_among, starts_in_order
from garage.moments import Moment

BEGAN = Moment("2026-05-09T08:00:00Z", 0)


def at(minute: int) -> Moment:
    return Moment(f"2026-05-09T{8 + minute // 60:02d}:{minute % 60:02d}:00Z", 0)


@given(st.lists(st.tuples(st.integers(0, 600), st.booleans()), min_size=1, max_size=9))
def test_starts_follow_the_order_and_no_clock_that_was_looked_at_moves(told):
    # Clocks half an hour apart leave room for whatever nobody looked at the clock for.
    clocks = iter(range(30, 900, 30))
    runs = [Placed(n, at(next(clocks) if known else minute), known) for n, (minute, known) in enumerate(told)]
    found = starts_in_order(runs, BEGAN)
    assert list(found) == [run.run_id for run in runs]
    assert all(found[run.run_id] == run.start for run in runs if run.known)
    starts = [found[run.run_id].utc for run in runs]
    assert starts == sorted(set(starts))


def test_clocks_that_say_another_order_are_named():
    with pytest.raises(OutOfOrder) as out:
        starts_in_order([Placed(1, at(30), True), Placed(2, at(5), False), Placed(3, at(20), True)], BEGAN)
    assert (out.value.first.run_id, out.value.second.run_id) == (1, 3)


def test_runs_come_among_others_by_their_starts_and_leave_no_gap():
    here = [Placed(1, at(10), True), Placed(2, at(30), True)]
    assert put_among(here, [Placed(4, at(40), True), Placed(3, at(20), False)]) == [1, 3, 2, 4]
    assert put_among([], [Placed(4, at(40), True), Placed(3, at(20), False)]) == [3, 4]
    assert numbers_after({1: 1, 2: 2, 3: 3, 4: 7}, [2]) == {1: 1, 3: 2, 4: 6}
