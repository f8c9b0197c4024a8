"""How far the receiver's speeds may be off the places before they deny each other: each limit on both of its sides.

Tracks without any jitter, so that the limits can be worked out by hand from what their names and docstrings say.
"""

from dataclasses import replace

import numpy as np
import pytest

from garage.calc.track.agreement import Agreement, denial_words
from garage.calc.track.cleaning import clean
from garage.calc.track.measure import look_at
from garage.calc.track.motion import motion_of
from garage.calc.track.track import Track
from garage.calc.track.witness_windows import fixes_of, spans_all_along, spans_from
from tests.logs.made import circle, straight_run


def straight(speed_ms, seconds: float, *, scale: float = 1.0, more=None, rate: int = 10) -> Track:
    """Due north; the receiver reads `scale` times the true speed, and `more` m/s from 10 to 13.5 s."""
    time = np.arange(0, seconds + 1e-9, 1 / rate)
    made = straight_run(np.broadcast_to(speed_ms(time) if callable(speed_ms) else speed_ms, time.shape) * 1.0, rate)
    track = made.track()
    hump = np.where((time >= 10) & (time <= 13.5), more or 0.0, 0.0)
    return replace(track, speed_ms=track.speed_ms * scale + hump)


def agreement(track: Track) -> Agreement:
    return look_at(track).measures.agreement


def within(windows: int, receiver_ms: float) -> float:
    """Two standard errors of the ratio without jitter: the usual 0.2 m/s counts as six windows, windows overlap by
    half, a median is a quarter less sure than a mean, and few windows are less sure still."""
    spread = (6 / (6 + windows)) ** 0.5 * 0.2 / receiver_ms
    return 2 * 1.25 * spread / (windows / 2) ** 0.5 * (1 + 3 / (windows / 2))


@pytest.mark.parametrize(("seconds", "windows"), [(40, 19), (14, 6), (12, 11), (7, 6)])
def test_the_ratio_stands_on_windows_of_four_seconds_and_with_fewer_than_six_of_two(seconds, windows):
    """Each begins half its length after the one before it."""
    found = agreement(straight(25.0, seconds, scale=1.01))
    assert found.verdict == "agree" and found.ratio == pytest.approx(1.01, abs=1e-5)
    assert found.ratio_within == pytest.approx(within(windows, 25.25), rel=1e-3)
    assert (found.receiver_ms, found.places_ms) == pytest.approx((25.25, 25.0), abs=1e-4)


@pytest.mark.parametrize(("scale", "by"), [(1.0145, ""), (1.0155, "ratio"), (0.9855, ""), (0.9845, "ratio")])
def test_all_along_three_halves_of_a_percent_are_the_most(scale, by):
    assert agreement(straight(25.0, 60, scale=scale)).by == by


@pytest.mark.parametrize(("errors", "by"), [(2.9, ""), (3.1, "ratio")])
def test_of_a_short_log_the_ratio_may_be_three_standard_errors_off(errors, by):
    off = errors * within(6, 8.0) / 2
    assert off > 0.015
    # Her true speed is such that the receiver reads the 8 m/s the error is worked out for.
    assert agreement(straight(8 / (1 + off), 7, scale=1 + off)).by == by


@pytest.mark.parametrize(
    ("scale", "ratio"), [(1.49, None), (1.51, 1.51), (0.68, None), (0.66, 0.66), (1.0, None), (3.6, 3.6)]
)
def test_with_too_few_windows_only_what_is_grossly_off_is_a_ratio(scale, ratio):
    found = agreement(straight(10.0, 6, scale=scale))
    assert found.ratio == (None if ratio is None else pytest.approx(ratio, rel=1e-4))
    assert (found.by == "ratio") == (ratio is not None)
    assert (found.ratio_within is None) == (ratio is None)


def test_with_too_few_windows_to_show_a_ratio_the_headline_alone_is_held_against_the_places():
    """Nothing is known of what is usual there: four times 0.4 m/s."""
    assert agreement(straight(10.0, 6, scale=1.15)).verdict == "agree"
    assert agreement(straight(10.0, 6, scale=1.17)).by == agreement(straight(10.0, 6, scale=0.83)).by == "window"


@pytest.mark.parametrize(("gained_ms2", "is_steady"), [(0.55, True), (0.65, False), (-0.55, True), (-0.65, False)])
def test_a_ratio_is_not_taken_while_speed_changes(gained_ms2, is_steady):
    start = 13.0 if gained_ms2 > 0 else 26.0
    found = agreement(straight(lambda time: start + gained_ms2 * time, 20))
    assert (found.ratio is not None) == is_steady and found.verdict == "agree"


@pytest.mark.parametrize(
    ("radius_m", "windows"), [(170, 19), (150, 39), (85, 39), (75, None)], ids=["4 s", "bent, 2 s", "2 s", "too bent"]
)
def test_a_ratio_is_not_taken_over_half_a_radian(radius_m, windows):
    """20 m/s: of a window of 4 s half a radian is a radius of 160 m, of one of 2 s half of that."""
    made = circle(20, radius_m, 10, 40.1)
    found = agreement(made.track())
    assert found.verdict == "agree" and found.places_ms == pytest.approx(20, rel=3e-3)
    assert (found.ratio is None) == (windows is None)
    if windows is not None:
        assert found.ratio == pytest.approx(1, abs=3e-3)
        assert found.ratio_within == pytest.approx(within(windows, 20), rel=0.02)


def test_of_a_wrong_unit_in_a_bend_the_places_are_told_by_the_ratio():
    """The straight gives the ratio; the headline is in the bend, whose chords are short of it."""
    track = circle(20, 60, 10, 30).track()
    found = agreement(replace(track, speed_ms=track.speed_ms * 3.6))
    assert found.by == "ratio" and found.receiver_ms == pytest.approx(72)
    assert found.places_ms == pytest.approx(found.receiver_ms / found.ratio, rel=1e-9)


@pytest.mark.parametrize("usual", [0.0, 0.25])
@pytest.mark.parametrize(("more", "by"), [(0.57, ""), (0.63, "window"), (-0.63, "")])
def test_the_headline_may_be_off_by_four_times_the_least_spread_more_than_is_usual(usual, more, by):
    """0.15 m/s is the least; a dip is in no headline."""
    track = straight(25.0, 40, more=more)
    found = agreement(replace(track, speed_ms=track.speed_ms + usual))
    assert found.by == by and found.verdict == ("disputed" if by else "agree")


@pytest.mark.parametrize(("more", "by"), [(2.2, ""), (2.6, "window")])
def test_where_the_two_always_differ_the_headline_may_differ_by_four_times_that_spread(more, by):
    """Four seconds 0.4 m/s too much, four too little: by the median 0.4, which is 0.59 as a standard deviation."""
    track = straight(25.0, 60, more=more)
    swing = np.where(track.time_s > 14, 0.4 * np.sign(np.sin(2 * np.pi * track.time_s / 8)), 0.0)
    assert agreement(replace(track, speed_ms=track.speed_ms + swing)).by == by


def test_one_witness_where_the_places_are_too_few_or_too_seldom():
    track = straight(20.0, 30)
    for every, is_heard in ((20, True), (21, False)):
        lat = np.where(np.arange(len(track)) % every == 0, track.lat_deg, np.nan)
        assert (_fixes(replace(track, lat_deg=lat)) is not None) == is_heard
    for count, is_heard in ((4, False), (5, True)):
        lat = np.where(np.arange(len(track)) < count, track.lat_deg, np.nan)
        assert (_fixes(replace(track, lat_deg=lat)) is not None) == is_heard
    stands = replace(track, lat_deg=track.lat_deg * 0 + 52.0, lon_deg=track.lon_deg * 0 + 5.0)
    assert agreement(stands).verdict == "one witness"
    for place in (0.0, 91.0):
        assert agreement(replace(track, lat_deg=track.lat_deg * 0 + place, lon_deg=track.lon_deg * 0)).ratio is None


def _motion(track: Track):
    motion = motion_of(track, clean(track))
    assert motion is not None
    return motion


def _fixes(track: Track):
    return fixes_of(track, _motion(track))


@pytest.mark.parametrize(
    ("rate", "lost", "holes"), [(10, 2, 0), (10, 4, 1), (5, 1, 0), (5, 2, 1), (2, 1, 0), (2, 2, 1)]
)
def test_a_hole_in_the_places_is_longer_than_two_and_a_half_steps_and_than_the_smoothing(rate, lost, holes):
    track = straight(20.0, 30, rate=rate)
    lat = track.lat_deg.copy()
    lat[20 : 20 + lost] = np.nan
    fixes = _fixes(replace(track, lat_deg=lat))
    assert fixes.after_hole[-1] == holes and fixes.step_s == pytest.approx(1 / rate)
    # No window has a hole in it.
    motion, length = _motion(track), 2.0
    spans = spans_from(motion, fixes, motion.time_s[motion.time_s <= motion.time_s[-1] - length], 2)
    first, last = 19 / rate, (20 + lost) / rate
    inside = [
        s for s in motion.time_s if s <= motion.time_s[-1] - length + 1e-9 and not (s < last and s + length > first)
    ]
    assert len(spans.places_ms) == (len(inside) if holes else int(round((motion.time_s[-1] - length) * rate)) + 1)


def test_places_are_averaged_over_four_tenths_of_a_second_to_each_side_and_less_at_an_end():
    track = straight(20.0, 30)
    # A twentieth of a metre east is no jump.
    east = 0.05 / 68_500
    for at, share in ((100, 9), (300, 1), (298, 5)):
        lon = track.lon_deg.copy()
        lon[at] += east
        fixes = _fixes(replace(track, lon_deg=lon))
        middle = float(np.median(fixes.east_m))
        assert fixes.east_m[at] - middle == pytest.approx(0.05 / share, rel=0.02)


def test_a_window_tells_speed_turn_and_gain():
    """A circle of 40 m at 20 m/s turns by half a radian a second; a steady gain is the gain of its chords."""
    made = circle(20, 40, 25, 20)
    motion = _motion(made.track())
    fixes = fixes_of(made.track(), motion)
    for chords in (2, 4):
        spans = spans_all_along(motion, fixes, chords)
        # The first and the last have no room for the half chord before and after.
        assert spans.turned_rad[1:-1] == pytest.approx(np.full(len(spans.turned_rad) - 2, 0.5 * chords), rel=0.02)
        assert spans.places_ms == pytest.approx(spans.receiver_ms, rel=0.01)
        assert len(spans.places_ms) == int((motion.time_s[-1] - chords) // (chords / 2)) + 1
    gains = straight(lambda time: 5 + 0.8 * time, 20)
    for chords in (2, 3, 5):
        spans = spans_from(_motion(gains), _fixes(gains), np.array([4.0, 7.0]), chords)
        assert spans.gained_ms2 == pytest.approx([0.8, 0.8], rel=1e-3)
        assert spans.receiver_ms == pytest.approx([5 + 0.8 * (s + chords / 2) for s in (4, 7)], rel=1e-4)


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (Agreement(), []), (Agreement("agree", 20, 10, 2.0), []),
        (Agreement("disputed", 20, 10, 1.25, 0.01, "ratio"), ["The file's speeds are 1.25 times what"]),
        (Agreement("disputed", 20, 10, 1.19, 0.01, "ratio"), ["are 19.0 % above what"]),
        (Agreement("disputed", 20, 10, 0.81, 0.01, "ratio"), ["are 19.0 % below what"]),
        (Agreement("disputed", 20, 10, 0.79, 0.01, "ratio"), ["are 0.79 times what"]),
        (Agreement("disputed", 20, 10, 3.6 * 1.09, 0.01, "ratio"), ["times what", "are they in km/h?"]),
        (Agreement("disputed", 20, 10, 3.6 * 1.11, 0.01, "ratio"), ["times what"]),
        (Agreement("disputed", 20, 10, 3.6 * 0.91, 0.01, "ratio"), ["times what", "are they in km/h?"]),
        (Agreement("disputed", 20, 10, 3.6 * 0.89, 0.01, "ratio"), ["times what"]),
        (Agreement("disputed", 39, 20, 1.0, 0.01, "window"), ["In the two seconds of", "are they in knots?"]),
        (Agreement("disputed", 39, 0, 1.94, 0.01, "window"), ["In the two seconds of"]),
        (Agreement("disputed", None, 20, 1.94, 0.01, "window"), ["In the two seconds of"]),
    ],
)  # fmt: skip
def test_what_a_denial_lies_in_is_said_and_what_may_lie_behind_it(found, words):
    said = denial_words(found)
    assert len(said) == len(words) and all(part in line for part, line in zip(words, said, strict=True))


@pytest.mark.parametrize(("unit", "times"), [("km/h", "3.60"), ("knots", "1.94"), ("mph", "2.24")])
def test_how_many_times_too_high_a_unit_reads_is_told(unit, times):
    found = Agreement("disputed", 20, 10, float(times), 0.01, "ratio")
    assert any(f"Speeds in {unit} that" in line and f"out {times} times" in line for line in denial_words(found))
