"""A day's log cut at the rests."""

import numpy as np
import pytest

from garage.calc.track.cuts import runs_between_rests
from garage.calc.track.measure import look_at
from tests.logs.made import straight_run


def _day(*parts):
    speed = np.concatenate([np.full(seconds * 5, float(speed)) for speed, seconds in parts])
    looked = look_at(straight_run(speed, 5).track())
    return looked.motion, looked.course


def test_a_rest_of_a_minute_parts_two_runs():
    spans = runs_between_rests(*_day((20, 60), (0, 90), (20, 60)))
    assert [round(start) for start, _ in spans] == [0, 148] and spans[0][1] == pytest.approx(62, abs=1)


def test_a_short_halt_parts_nothing_unless_asked():
    day = _day((20, 60), (0, 20), (20, 60))
    assert len(runs_between_rests(*day)) == 1
    assert len(runs_between_rests(*day, rest_s=10)) == 2


def test_drifting_and_a_nudge_are_no_run():
    assert runs_between_rests(*_day((0.5, 100), (2.5, 20), (0.5, 100))) == []
