"""Each limit of cleaning, course, passes and corners on both of its sides; a mean by its plain definition."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.calc.track.cleaning import BACKWARDS, JUMP, NO_READING, NO_TIME, TOO_FAST, TOO_SUDDEN, clean, noise_of
from garage.calc.track.course import course_of
from garage.calc.track.cuts import runs_between_rests
from garage.calc.track.means import best_over_distance, best_over_time, peak, windows_over
from garage.calc.track.measure import Looked, look_at
from garage.calc.track.motion import leaps, motion_of
from garage.calc.track.passes import Pass, two_way
from garage.calc.track.slices import slices_of
from garage.calc.track.track import Track
from tests.logs.made import START, circle, straight_run, turn

G = 9.80665


def _speeds(speed, time=None, rate: float = 10) -> Track:
    """A log of speeds alone."""
    speed = np.array(speed, dtype=float)
    return Track(np.arange(len(speed)) / rate if time is None else np.array(time, dtype=float), START, speed_ms=speed)


def _reasons(track: Track) -> list[int]:
    return clean(track).reasons.tolist()


@pytest.mark.parametrize(("kmh", "reason"), [(399, 0), (401, TOO_FAST), (-1, TOO_FAST), (0, 0), (np.nan, NO_READING)])
def test_no_boat_does_400_km_h_or_less_than_none(kmh, reason):
    steady = [399 / 3.6 if kmh > 300 else 0.0] * 20
    assert _reasons(_speeds([*steady, kmh / 3.6, *steady]))[20] == reason


@pytest.mark.parametrize(("ms", "is_sudden"), [(2.9, False), (3.0, True), (-2.9, False), (-3.0, True)])
def test_a_spike_is_two_and_a_half_g_and_half_a_metre_a_second_off(ms, is_sudden):
    """A tenth of a second at 2.5 g is 2.45 m/s."""
    speed = np.full(60, 20.0)
    speed[30] += ms
    assert np.flatnonzero(_reasons(_speeds(speed))).tolist() == ([30] if is_sudden else [])


def test_six_standard_deviations_of_jitter_are_no_spike():
    swing = np.tile([0.2, -0.2], 60)
    # Their third differences are all 8 x 0.2.
    noise = 1.6 / 0.6745 / 20**0.5
    assert noise_of(swing) == pytest.approx(noise) and noise_of(swing[:4]) == 0.0 < noise_of(swing[:5])
    most = 0.25 * G + 6 * noise
    for off, is_sudden in ((most - 0.05, False), (most + 0.05, True)):
        speed = 20 + swing
        speed[61] = speed[60] + off
        speed[62] = min(speed[62], speed[60])
        assert (TOO_SUDDEN in _reasons(_speeds(speed))) == is_sudden


@pytest.mark.parametrize(("last", "gone"), [(7, 7), (8, 8), (9, 8)])
def test_a_step_within_a_second_of_an_end_is_a_bad_end(last, gone):
    """Eight samples a second: the ninth from the end is a whole second before it."""
    speed = np.full(60, 20.0)
    speed[-last:] = 80.0
    assert np.flatnonzero(_reasons(_speeds(speed, rate=8))).tolist() == list(range(60 - gone, 60))
    assert np.flatnonzero(_reasons(_speeds(speed[::-1], rate=8))).tolist() == list(range(gone))


def test_times_that_are_not_known_or_out_of_order_do_not_count():
    reasons = _reasons(_speeds([20.0] * 7, [0, np.nan, 1, 1, 2, 1.5, 3]))
    assert reasons in ([0, NO_TIME, 0, BACKWARDS, 0, BACKWARDS, 0], [0, NO_TIME, 0, BACKWARDS, BACKWARDS, 0, 0])
    told = clean(_speeds([20.0, np.nan, 20.0, 20.0], [0, 1, 2, 2]))
    assert told.rejected() == {"time repeated or running backwards": 1} and told.kept.tolist() == [
        True,
        False,
        True,
        False,
    ]
    back = clean(_speeds([20.0, np.nan, 500.0, 20.0], [0, 1, 2, np.nan]), restored=[-1, 0, 1, 2, 3, 4])
    assert back.reasons.tolist() == [0, NO_READING, 0, NO_TIME]


@pytest.mark.parametrize(("known", "source"), [(30, "doppler"), (29, "position")])
def test_speeds_are_the_receivers_where_half_of_the_samples_have_one(known, source):
    track = straight_run(np.full(60, 20.0), 10).track()
    speed = np.where(np.arange(60) < known, track.speed_ms, np.nan)
    assert clean(replace(track, speed_ms=speed)).source == source
    assert clean(replace(track, speed_ms=speed, lat_deg=None)).source == ("doppler" if known == 30 else "")


@pytest.mark.parametrize(("speed_ms", "source"), [(3.3, "doppler"), (3.5, "position")])
def test_a_column_of_noughts_is_no_speed_once_the_places_moved_20_m(speed_ms, source):
    """Over 5.9 s."""
    track = straight_run(np.full(60, speed_ms), 10).track()
    assert clean(replace(track, speed_ms=np.zeros(60))).source == source
    assert clean(replace(track, speed_ms=np.full(60, 0.1))).source == "doppler"


@pytest.mark.parametrize(
    ("lat", "lon", "reason"),
    [
        (0, 0, JUMP), (90.1, 5, JUMP), (-90.1, 5, JUMP), (52, 360.1, JUMP), (52, -360.1, JUMP),
        (np.nan, 5, NO_READING), (52, np.nan, NO_READING),
    ],
)  # fmt: skip
def test_a_place_that_is_none_on_earth_does_not_count(lat, lon, reason):
    track = straight_run(np.full(60, 20.0), 10).track(doppler=False)
    track.lat_deg[30], track.lon_deg[30] = lat, lon
    reasons = _reasons(track)
    assert reasons[30] == reason and not any(reasons[:30] + reasons[31:])


@pytest.mark.parametrize("rate", [2, 5])
@pytest.mark.parametrize(
    ("along", "most_g"), [(True, 2.5), (False, 4.0)], ids=["along her course", "across her course"]
)
def test_a_place_off_the_line_by_more_than_a_boat_accelerates_is_a_jump(rate, along, most_g):
    """From the middle of its neighbours she gets half of the acceleration times the time squared, and 0.3 m more."""
    for off, is_jump in ((-0.03, False), (0.03, True)):
        made = straight_run(np.full(60, 20.0), rate)
        way = most_g * G / rate**2 / 2 + 0.3 + off
        column = (made.north if along else made.east).copy()
        column[30] += way
        made = replace(made, **{"north" if along else "east": column})
        assert np.flatnonzero(_reasons(made.track(doppler=False))).tolist() == ([30] if is_jump else [])


def test_a_place_between_uneven_times_is_held_against_its_share_of_the_way():
    time = np.concatenate((np.arange(0, 10, 0.5), np.arange(9.6, 20, 0.5)))
    made = replace(straight_run(np.full(len(time), 20.0), 10), time_s=time, north=20 * time)
    assert not any(_reasons(made.track(doppler=False)))


def test_a_step_far_faster_than_those_around_it_is_a_new_beginning():
    """Twice 2.5 g, and jitter: 10 m over half a second at least, twelve times the noise over it and over its own."""
    gaps = np.full(9, 0.2)
    for noise in (0.0, 0.5):
        most = 20 + 2 * 2.5 * G * 0.2 + (10 + 12 * noise) / 0.5 + 12 * noise / 0.2
        for at in (0, 4, 8):
            steps = np.full(9, 20 * 0.2)
            for by, leapt in ((-0.1, []), (0.1, [at])):
                steps[at] = (most + by) * 0.2
                assert np.flatnonzero(leaps(steps, gaps, noise)).tolist() == leapt
    assert leaps(np.full(3, 110.0), np.ones(3), 0).tolist() == [False] * 3
    assert leaps(np.full(3, 112.0), np.ones(3), 0).tolist() == [True] * 3


@pytest.mark.parametrize(("gap", "is_linked"), [(0.34, True), (0.36, False)])
def test_a_hole_of_a_third_of_a_second_is_none(gap, is_linked):
    time = np.concatenate((np.arange(30) / 10, 2.9 + gap + np.arange(30) / 10))
    motion = look_at(_speeds([20.0] * 60, time)).motion
    assert motion.linked.all() == is_linked and motion.breaks[-1] == (not is_linked)
    assert motion.interval_s == pytest.approx(0.1) and motion.distance_m[-1] == pytest.approx(20 * time[-1])


@pytest.mark.parametrize(
    ("interval", "gap", "is_linked"), [(1, 1.59, True), (1, 1.61, False), (1.5, 1.99, True), (1.5, 2.01, False)]
)
def test_of_rarer_samples_one_and_six_tenths_of_the_interval_belong_together_up_to_two_seconds(
    interval, gap, is_linked
):
    time = np.concatenate((np.arange(20) * interval, 19 * interval + gap + np.arange(20) * interval))
    assert look_at(_speeds([20.0] * 40, time)).motion.linked.all() == is_linked


@pytest.mark.parametrize(
    ("off", "share", "is_steady"), [(0.24, 4, True), (0.26, 4, False), (0.26, 20, True), (0.26, 17, False)]
)
def test_a_rate_is_steady_if_nine_gaps_of_ten_are_within_a_quarter_of_it(off, share, is_steady):
    time = np.arange(100) / 10
    time[share::share] += off / 10
    assert look_at(_speeds([20.0] * 100, time)).motion.steady == is_steady


@pytest.mark.parametrize(
    ("rate", "sd", "step_s"), [(10, 0.0, 0.1), (10, 0.15, 0.3), (10, 0.2, 0.4), (10, 0.6, 0.5), (2, 0.2, 0.5)]
)
def test_steps_are_lengthened_until_jitter_adds_less_than_a_thousandth(rate, sd, step_s):
    """Jitter of `sd` on a step at 20 m/s adds (sd / step)² of it; half a second is the longest."""
    made = straight_run(np.full(200, 20.0), rate)
    swing = np.tile([1, 1, -1, -1], 50) * sd * 0.6745 * 20**0.5 / 4
    motion = look_at(replace(made, east=swing * 1.0).track(doppler=False)).motion
    assert motion.step_s == pytest.approx(step_s)
    if sd and rate == 10:
        assert motion.noise == pytest.approx(sd, rel=0.05)
        assert motion.distance_m[-1] == pytest.approx(20 * 19.9, rel=0.004)


def _motion(speed, gaps):
    time = np.concatenate(([0.0], np.cumsum(gaps)))
    return motion_of(track := _speeds(speed, time), clean(track))


STEPS = st.lists(
    st.tuples(st.floats(10, 12), st.sampled_from([0.1, 0.1, 0.1, 0.13, 0.3, 1.0])), min_size=30, max_size=60
)


def _way(motion, at: float) -> float:
    return float(np.interp(at, motion.time_s, motion.distance_m))


def _is_whole(motion, start: float, end: float) -> bool:
    """Whether no break lies within a span."""
    return all(
        linked or not (here < end - 1e-7 and start + 1e-7 < there)
        for here, there, linked in zip(motion.time_s, motion.time_s[1:], motion.linked, strict=False)
    )


@settings(max_examples=15, deadline=None)
@given(STEPS)
def test_the_best_mean_of_uneven_samples_is_way_over_time_from_or_to_a_sample(steps):
    motion = _motion([speed for speed, _ in steps], [0.115, 0.085] + [gap for _, gap in steps[3:]])
    starts = [start for at in motion.time_s for start in (at, at - 1.0)]
    spans = [s for s in starts if s >= 0 and s + 1 <= motion.time_s[-1] + 1e-9 and _is_whole(motion, s, s + 1)]
    best = best_over_time(replace(motion, steady=False), 1.0)
    if not spans:
        assert best is None
        return
    assert best.speed_ms == pytest.approx(max(_way(motion, s + 1) - _way(motion, s) for s in spans), abs=1e-7)
    assert _way(motion, best.end_s) - _way(motion, best.start_s) == pytest.approx(best.speed_ms, abs=1e-7)
    assert best.end_s - best.start_s == pytest.approx(1.0) and best.of_samples is None


@settings(max_examples=15, deadline=None)
@given(STEPS, st.sampled_from([6.0, 15.0]))
def test_the_best_mean_over_a_course_is_its_length_over_the_shortest_time_from_or_to_a_sample(steps, length):
    motion = _motion([speed for speed, _ in steps], [gap for _, gap in steps[1:]])
    way = motion.distance_m
    marks = [mark for at in way for mark in (at, at - length) if mark >= 0 and mark + length <= way[-1]]
    ends = [(float(np.interp(m, way, motion.time_s)), float(np.interp(m + length, way, motion.time_s))) for m in marks]
    whole = [end - start for start, end in ends if _is_whole(motion, start, end)]
    best = best_over_distance(motion, windows_over(motion, length))
    assert (best is None) == (not whole)
    if best is not None:
        assert best.speed_ms == pytest.approx(length / min(whole), rel=1e-6)
        assert _way(motion, best.end_s) - _way(motion, best.start_s) == pytest.approx(length, abs=1e-6)
        # The same, looked for only there, is found there; cut short, it is not.
        windows = windows_over(motion, length)
        again = best_over_distance(motion, windows, best.start_s, best.end_s)
        assert again.speed_ms == pytest.approx(best.speed_ms)
        short = best_over_distance(motion, windows, best.start_s + 0.01, best.end_s - 0.01)
        assert short is None


def test_a_short_hole_is_filled_along_the_line_and_a_break_is_in_no_mean():
    speed, time = [10.0, 10, 14, 14, 10, 10, 10, 10], [0.0, 0.1, 0.2, 0.4, 0.5, 0.6, 0.7, 0.8]
    best = best_over_time(_motion(speed, np.diff(time)), 0.3)
    # The sample at 0.3 s is missing; it lies between two of 14 m/s.
    assert (best.speed_ms, best.of_samples) == (pytest.approx(14), 3)
    assert (best.start_s, best.end_s) == pytest.approx((0.15, 0.45), abs=0.051)
    broken = [0.0, 0.1, 0.2, 0.7, 0.8, 0.9, 1.0, 1.1]
    apart = best_over_time(_motion(speed, np.diff(broken)), 0.3)
    assert apart.speed_ms == pytest.approx(34 / 3) and best_over_time(_motion(speed, np.diff(broken)), 0.6) is None


@pytest.mark.parametrize(("interval", "is_had"), [(1.04, True), (1.06, False)])
def test_no_mean_is_over_less_than_its_samples_are_apart(interval, is_had):
    motion = _motion([10.0] * 20, np.full(19, interval))
    assert (best_over_time(motion, 1.0) is not None) == is_had and best_over_time(motion, 2.0) is not None


@pytest.mark.parametrize(("interval", "of_samples"), [(0.1, 10), (0.0995, 10), (0.098, None), (0.5, 2), (0.4, None)])
def test_a_mean_is_one_of_samples_where_so_many_fit(interval, of_samples):
    best = best_over_time(_motion([10.0] * 60, np.full(59, interval)), 1.0)
    assert best.of_samples == of_samples
    # Three standard deviations of 0.1 m/s over the root of their number.
    assert best.accuracy_ms == pytest.approx(0.3 / round(1 / interval) ** 0.5)


def test_a_mean_is_never_surer_than_a_twentieth_and_jitter_that_is_found_makes_it_less_sure():
    steady = _motion([10.0] * 60, np.full(59, 0.02))
    assert best_over_time(steady, 1.0).accuracy_ms == 0.05 and peak(steady).accuracy_ms == pytest.approx(0.3)
    swing = _motion(10 + np.tile([0.2, -0.2], 30), np.full(59, 0.1))
    assert best_over_time(swing, 1.0).accuracy_ms == pytest.approx(3 * swing.noise / 10**0.5)
    assert swing.noise > 0.5


def test_of_positions_a_mean_is_as_sure_as_both_ends_of_its_way():
    """Four standard deviations of 0.3 m at either end."""
    motion = look_at(straight_run(np.full(100, 20.0), 10).track(doppler=False)).motion
    for seconds in (1.0, 2.0):
        assert best_over_time(motion, seconds).accuracy_ms == pytest.approx(4 * 2**0.5 * 0.3 / seconds)
    top = peak(motion)
    assert top.end_s - top.start_s == pytest.approx(motion.step_s)
    assert top.accuracy_ms == pytest.approx(4 * 2**0.5 * 0.3 / motion.step_s)


def test_the_highest_sample_is_told_where_it_is():
    motion = _motion([10.0, 10.5, 11, 10.5, 10, 10], np.full(5, 0.1))
    top = peak(motion)
    assert (top.speed_ms, top.start_s, top.end_s) == (11.0, pytest.approx(0.2), pytest.approx(0.2))
    assert peak(replace(motion, speed_ms=np.full(6, 112.0))) is None
    assert peak(replace(motion, speed_ms=np.full(6, 400 / 3.6))) is not None


def _pass(start: float, heading: float | None, speed: float | None = 20.0, within: float | None = 0.3) -> Pass:
    return Pass(start, start + 6, heading, 120, 18, 22, 18, speed, start, within, 0, 1)


@pytest.mark.parametrize(
    ("turned", "is_other"), [(180, True), (150.1, True), (149.9, False), (209.9, True), (210.1, False)]
)
@pytest.mark.parametrize("heading", [0, 100, 355])
def test_the_other_way_is_within_thirty_degrees(turned, is_other, heading):
    both = two_way([_pass(0, heading), _pass(30, (heading + turned) % 360, 24.0, 0.4)], 100)
    assert (both is not None) == is_other
    if both is not None:
        assert (both.speed_ms, both.apart_s, both.course_m) == (22, 30, 100)
        assert both.by_times_ms == pytest.approx(200 / (100 / 20 + 100 / 24)) and both.accuracy_ms == pytest.approx(
            0.25
        )
        assert (both.first, both.second) == (0, 1)


def test_the_best_average_is_of_a_pass_and_the_next_one_back_in_time():
    passes = [
        _pass(0, 0, 20),
        _pass(30, 180, 20),
        _pass(60, 0, 25),
        _pass(90, 0, None),
        _pass(95, None, 30),
        _pass(100, 180, 21),
    ]
    found = two_way(passes, 100, 40)
    assert (found.first, found.second, found.speed_ms, found.apart_s) == (2, 5, 23, 40)
    assert two_way(passes, 100, 39.9).speed_ms == 22.5
    assert two_way(passes, 100, 29) is None and two_way(passes[:1], 100) is None and two_way([], 100) is None
    hour = [_pass(0, 0), _pass(3600, 180)]
    assert two_way(hour, 100) is not None and two_way([_pass(0, 0), _pass(3601, 180)], 100) is None
    assert two_way([_pass(0, 0, 20, None), _pass(30, 180, 20, 0.4)], 100).accuracy_ms == pytest.approx(0.2)


def _looked(made, **how) -> Looked:
    return look_at(made.track(**how))


@pytest.mark.parametrize(("seconds", "is_pass"), [(2.1, True), (1.9, False)])
def test_a_pass_is_20_m_long(seconds, is_pass):
    found = _looked(straight_run(np.full(round(seconds * 10) + 1, 10.0), 10)).measures.passes
    assert bool(found) == is_pass and all(one.length_m == pytest.approx(10 * seconds, abs=1e-6) for one in found)


@pytest.mark.parametrize(("speed_ms", "is_pass"), [(3.1, True), (2.9, False)])
def test_a_pass_is_as_fast_as_three_metres_a_second(speed_ms, is_pass):
    assert bool(_looked(straight_run(np.full(200, speed_ms), 10)).measures.passes) == is_pass


@pytest.mark.parametrize(("share", "count"), [(0.52, 2), (0.48, 1)])
def test_a_pass_is_half_as_fast_as_the_fastest(share, count):
    """Two straights at different speeds, with a slow stretch between."""
    speed = np.concatenate((np.full(200, 20.0), np.linspace(20, 5, 40), np.full(40, 5.0), np.full(200, 20.0 * share)))
    found = _looked(straight_run(np.concatenate((speed[:280], np.linspace(5, 20 * share, 20), speed[280:])), 10))
    assert len(found.measures.passes) == count
    first = found.measures.passes[0]
    assert (first.heading_deg, first.entry_ms, first.peak_ms) == (
        pytest.approx(0, abs=0.01),
        pytest.approx(20),
        pytest.approx(20),
    )
    assert first.course_ms == pytest.approx(20, rel=1e-3) and first.length_m > 390
    assert first.exit_ms < 15 and first.last > first.first


@pytest.mark.parametrize(("radius_m", "is_one"), [(3000, True), (500, False)])
def test_a_pass_is_cut_where_the_heading_strays_by_a_fifth_of_a_right_angle(radius_m, is_one):
    """20 m/s for 40 s are 800 m: a quarter of a radian at 3 km, 1.6 at 500 m, which is no corner."""
    measures = _looked(circle(20, radius_m, 10)).measures
    assert not measures.corners and (len(measures.passes) == 1) == is_one
    for one in measures.passes:
        assert one.length_m / radius_m < 0.35 + 0.12
    if not is_one:
        assert max(one.length_m for one in measures.passes) > 0.35 * radius_m
        assert len(measures.passes) == 5


@pytest.mark.parametrize(
    ("speed", "radius", "is_corner"),
    [(20, 140, True), (20, 160, False), (10, 80, True), (10, 88, False)],
    ids=["tight", "wider than 150 m", "fast enough", "slower than 0.12 rad/s"],
)
def test_a_corner_turns_fast_and_is_no_wide_bend(speed, radius, is_corner):
    found = _looked(circle(speed, radius, 10)).measures.corners
    assert bool(found) == is_corner
    for one in found:
        assert one.radius_m == pytest.approx(radius, rel=0.02) and not one.is_rough


@pytest.mark.parametrize(("degrees", "is_corner"), [(43, False), (50, True)])
def test_a_corner_turns_by_45_degrees(degrees, is_corner):
    for made in (turn(15, 30, 10, np.radians(degrees)), turn(15, 60, 10, np.radians(degrees))):
        found = _looked(made).measures.corners
        assert bool(found) == is_corner
        for one in found:
            assert one.turned_deg == pytest.approx(degrees, abs=6) and one.start_s < one.end_s
            left = _looked(replace(made, east=-made.east)).measures.corners
            assert left[0].turned_deg == pytest.approx(-one.turned_deg, abs=0.01)


def test_a_course_tells_heading_turn_and_speed():
    motion, course = (found := _looked(circle(20, 50, 10))).motion, found.course
    inside = course.moving
    assert inside[5:-5].all() and not inside[:4].any() and not inside[-4:].any()
    assert course.turn_rad_s[10:-10] == pytest.approx(np.full(len(motion) - 20, 0.4), rel=0.01)
    assert np.diff(course.heading_rad[5:-5]) == pytest.approx(np.full(len(motion) - 11, 0.04), rel=0.01)
    assert course.speed_ms == pytest.approx(np.full(len(motion), 20.0), rel=1e-3)
    places = _looked(circle(20, 20, 5), doppler=False).course
    # The chord of a fifth of a radian is shorter than its arc.
    assert places.speed_ms[5:-5] == pytest.approx(np.full(len(places.speed_ms) - 10, 20.0), rel=1e-3)
    assert _looked(circle(20, 20, 1)).course.speed_ms == pytest.approx(np.full(40, 20.0))


@pytest.mark.parametrize(("slow_ms", "moves"), [(2.1, True), (1.9, False)])
def test_slower_than_two_metres_a_second_or_a_quarter_of_her_top_she_does_not_move(slow_ms, moves):
    speed = np.concatenate((np.full(100, 7.0), np.full(100, slow_ms)))
    assert _looked(straight_run(speed, 10)).course.moving[150] == moves
    fast = np.concatenate((np.full(100, 20.0), np.full(100, slow_ms * 2.5)))
    assert _looked(straight_run(fast, 10)).course.moving[150] == moves


@pytest.mark.parametrize(
    ("parts", "runs"),
    [
        (((20, 60), (0, 61), (20, 60)), 2), (((20, 60), (0, 58), (20, 60)), 1), (((20, 60), (1.9, 62), (20, 60)), 2),
        (((20, 60), (2.1, 62), (20, 60)), 1), (((0, 20), (20, 6), (0, 90)), 1), (((0, 20), (20, 4), (0, 90)), 0),
        (((0, 20), (2.7, 20), (0, 90)), 0), (((0, 20), (2.9, 20), (0, 90)), 1), (((0, 90),), 0),
    ],
)  # fmt: skip
def test_a_day_is_cut_at_rests_of_a_minute_below_two_metres_a_second(parts, runs):
    """A run lasts five seconds and gets to 10 km/h."""
    speed = np.concatenate([np.full(seconds * 5, float(ms)) for ms, seconds in parts])
    looked = _looked(straight_run(speed, 5))
    spans = runs_between_rests(looked.motion, looked.course)
    assert len(spans) == runs and all(0 <= start < end <= looked.motion.time_s[-1] for start, end in spans)
    if runs == 1 and parts[0][0] == 0:
        assert spans[0] == pytest.approx((18, 20 + parts[1][1] + 2), abs=0.5)


def test_of_a_log_in_slices_each_sample_is_in_one_of_them():
    track = straight_run(np.full(41, 10.0), 10).track()
    volts, amps = np.full(41, 10.0), np.where(np.arange(41) < 20, 18.0, 36.0)
    track = replace(track, channels={"voltage_v": volts, "current_a": amps})
    first, second = slices_of(track, look_at(track).motion, 0.0, 4.0, 2)
    assert (first.power_w, second.power_w) == (180, 360) and first.channels["current_a"] == 18
    # 20 m in 2 s: 0.1 Wh and 0.2 Wh.
    assert (first.wh_per_km, second.wh_per_km) == (pytest.approx(5), pytest.approx(10))
    assert (second.north_m - first.north_m, first.mean_ms, second.highest_ms) == pytest.approx((20, 10, 10))
    for seconds, is_told in ((0.49, False), (0.51, True)):
        (only,) = slices_of(track, look_at(track).motion, 0.0, seconds, 1)
        assert (only.wh_per_km is not None) == is_told
    for wrong in ((1.0, 1.0, 2), (0.0, 1.0, 0)):
        with pytest.raises(ValueError, match="begins before"):
            slices_of(track, None, *wrong)
    nothing = slices_of(replace(track, channels={}), None, 10, 12, 1)[0]
    assert (nothing.mean_ms, nothing.power_w, nothing.wh_per_km, nothing.north_m) == (None, None, None, None)
    (beyond,) = slices_of(track, look_at(track).motion, 10, 12, 1)
    assert beyond.mean_ms is None and beyond.channels["current_a"] is None


def test_a_part_of_a_track_has_both_its_ends():
    track = straight_run(np.full(41, 10.0), 10).track()
    part = replace(track, channels={"current_a": np.arange(41.0)}, poor_fix=np.zeros(41, dtype=bool)).part(1.0, 2.0)
    assert len(part) == 11 and part.start_unix_s == START and part.channels["current_a"].tolist()[0] == 10
    assert len(part.lat_deg) == len(part.lon_deg) == len(part.speed_ms) == len(part.poor_fix) == 11
    assert part.has_positions and not replace(part, lat_deg=np.full(11, np.nan)).has_positions
    assert not replace(part, lon_deg=None).has_positions


def test_a_way_holds_within_what_jitter_and_bends_make_of_it():
    """By speeds: three standard deviations of each, which cancel. By places: both ends, and every step sideways."""
    own = look_at(straight_run(np.full(101, 20.0), 10).track()).measures
    assert own.distance_m == pytest.approx(200) and own.distance_within_m == pytest.approx(3 * 0.1 * 0.1 * 101**0.5)
    places = look_at(straight_run(np.full(101, 20.0), 10).track(doppler=False)).measures
    assert places.distance_within_m == pytest.approx(4 * 2**0.5 * 0.3 + 100 * 0.09 / 2, rel=1e-3)
    bend = look_at(circle(20, 50, 5, 20.1).track(doppler=False))
    still = 4 * 2**0.5 * 0.3 + 100 * 0.09 / 4
    # An arc of 0.08 rad by its chord is a 24th of its square longer; twice that is stated.
    cut = 2 * 0.08**2 / 24 * 400
    assert bend.measures.distance_within_m == pytest.approx(still + cut, rel=0.01)
    sparse = straight_run(np.full(30, 15.0), 1 / 3).track()
    assert look_at(sparse).measures.distance_from == "position"
    assert look_at(replace(sparse, lat_deg=None)).measures.distance_from == "doppler"


@pytest.mark.parametrize(("rate", "is_smoothed"), [(3, False), (4, True), (5, True)])
def test_speeds_four_times_a_second_are_smoothed_and_rarer_ones_stand_as_they_are(rate, is_smoothed):
    speed = 10.0 + np.arange(60) % 2
    track = _speeds(speed, rate=rate)
    found = course_of(motion_of(track, clean(track))).speed_ms
    assert np.array_equal(found, speed) != is_smoothed
