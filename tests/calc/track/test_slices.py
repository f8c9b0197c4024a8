"""A span of a log in slices."""

import numpy as np
import pytest

from garage.calc.track.cleaning import clean
from garage.calc.track.motion import motion_of
from garage.calc.track.slices import slices_of
from garage.calc.track.track import Track
from tests.logs.made import there_and_back


def made(**channels):
    time = np.arange(0, 60, 0.1)
    return Track(
        time, speed_ms=np.full(len(time), 20.0), channels={n: np.full(len(time), v) for n, v in channels.items()}
    )


def test_steady_speed_and_load_are_the_same_in_every_slice():
    track = made(voltage_v=11.0, current_a=60.0)
    for one in slices_of(track, motion_of(track, clean(track)), 10, 50, 8):
        assert one.mean_ms == one.highest_ms == pytest.approx(20)
        assert one.channels == {"voltage_v": pytest.approx(11), "current_a": pytest.approx(60)}
        assert one.power_w == pytest.approx(660)
        # 660 W at 72 km/h are 660/72 Wh for each km.
        assert one.wh_per_km == pytest.approx(660 / 72)


def test_every_sample_stands_in_one_slice():
    track = there_and_back(25, 10).track(speed_sd=0.1)
    motion = motion_of(track, clean(track))
    cut = slices_of(track, motion, float(motion.time_s[0]), float(motion.time_s[-1]), 12)
    assert max(one.highest_ms for one in cut) == motion.speed_ms.max()
    assert [one.start_s for one in cut[1:]] == [one.end_s for one in cut[:-1]]
    assert (cut[0].east_m, cut[0].north_m) == (motion.east_m[0], motion.north_m[0])


def test_what_a_log_does_not_tell_stays_unknown():
    track = made(voltage_v=np.nan)
    one = slices_of(track, None, 0, 10, 1)[0]
    assert one.mean_ms is one.power_w is one.wh_per_km is one.channels["voltage_v"] is None
    beyond = slices_of(made(), motion_of(made(), clean(made())), 100, 110, 1)[0]
    assert beyond.mean_ms is None
    with pytest.raises(ValueError):
        slices_of(track, None, 10, 10, 3)
