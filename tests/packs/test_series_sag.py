"""The sag of packs in series, separated by their resistances."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.packs.series_sag import InSeries, share_of_sag

LEAST = 2.0


def member(code, mohm, low=None, high=None, rested_v=12.5, cells_s=3):
    return InSeries(code, cells_s, rested_v, mohm, low, high)


def test_each_pack_takes_what_it_has_of_the_resistance():
    """By hand: 25 - 20.5 = 4.5 V over 6 + 9 mΩ; at one current that is 1.8 V and 2.7 V (Ohm)."""
    one, other = member("F", 6.0), member("G", 9.0)
    assert share_of_sag(one, [other], 20.5, LEAST).value == pytest.approx(1.8)
    assert share_of_sag(other, [one], 20.5, LEAST).value == pytest.approx(2.7)


def test_the_range_is_what_readings_a_tenth_off_either_way_leave_open():
    """By hand: 6 mΩ at least 5.4 beside at most 9.9: 4.5 × 5.4 / 15.3; at most 6.6 beside at least 8.1."""
    share = share_of_sag(member("F", 6.0), [member("G", 9.0)], 20.5, LEAST)
    assert (share.low, share.high) == (pytest.approx(4.5 * 5.4 / 15.3), pytest.approx(4.5 * 6.6 / 14.7))


MOHM = st.floats(1.0, 60.0)


@given(st.lists(MOHM, min_size=2, max_size=4), st.floats(0.01, 3.0))
def test_shares_add_up_to_the_whole_and_lie_in_their_ranges(ohms, sag_v):
    packs = [member(str(place), mohm, 0.95 * mohm, 1.04 * mohm) for place, mohm in enumerate(ohms)]
    lowest_v = 12.5 * len(packs) - sag_v
    shares = [
        share_of_sag(packs[place], packs[:place] + packs[place + 1 :], lowest_v, LEAST) for place in range(len(packs))
    ]
    assert sum(share.value for share in shares) == pytest.approx(sag_v)
    assert all(0 < share.low < share.value < share.high < sag_v for share in shares)


@given(MOHM, MOHM, st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))
def test_the_range_holds_the_truth_while_readings_are_at_most_a_tenth_off(one, other, off, other_off):
    share = share_of_sag(member("F", one), [member("G", other)], 23.0, LEAST)
    true_one, true_other = one * (1 + off), other * (1 + other_off)
    truth = 2.0 * true_one / (true_one + true_other)
    assert share.low - 1e-9 <= truth <= share.high + 1e-9


def test_without_a_reading_of_each_it_is_not_parted_and_the_whole_is_said():
    share = share_of_sag(member("F", 6.0), [member("G", None)], 20.5, LEAST)
    assert share.value is None and share.total_v == pytest.approx(4.5)
    assert "4.50 V" in share.why and "F + G" in share.why and "not to be parted" in share.why


@pytest.mark.parametrize(
    ("mates", "lowest_v", "words"),
    [
        ([member("G", 9.0, rested_v=None)], 20.5, "rested volts of G: the log has F + G as one"),
        ([member("G", 9.0)], 5.0, "lowest 5.00 V, rested 25.00 V"),
        ([member("G", 9.0)], 25.0, "lowest 25.00 V, rested 25.00 V"),
        ([], 11.0, "the packs in series with F"),
    ],
)
def test_volts_that_cannot_be_theirs_or_are_missing_are_said(mates, lowest_v, words):
    share = share_of_sag(member("F", 6.0), mates, lowest_v, LEAST)
    assert share.value is None and words in share.why
