"""Points in time: stored in UTC, shown as the clock on the spot stood."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.moments import Moment, day_text

OFFSETS = st.integers(min_value=-12 * 60, max_value=14 * 60)
INSTANTS = st.datetimes(min_value=datetime(1950, 1, 2), max_value=datetime(2100, 1, 1))


def _aware(naive: datetime, offset_min: int) -> datetime:
    return naive.replace(tzinfo=timezone(timedelta(minutes=offset_min)))


def test_a_moment_keeps_the_clock_on_the_spot():
    moment = Moment.of(_aware(datetime(2026, 5, 3, 0, 5, 7, 999), 120))
    assert moment == Moment("2026-05-02T22:05:07Z", 120)
    assert (moment.date(), moment.day(), moment.clock()) == ("2026-05-03", "3 May 2026", "00:05")
    assert moment.local_text() == "2026-05-03T00:05:07"


def test_full_minutes_are_written_without_seconds():
    assert Moment("2026-05-03T12:05:00Z", -300).local_text() == "2026-05-03T07:05"


@settings(derandomize=True)
@given(when=INSTANTS, offset_min=OFFSETS)
def test_a_moment_is_the_same_instant_to_the_second(when, offset_min):
    aware = _aware(when, offset_min)
    moment = Moment.of(aware)
    assert moment.local() == aware.replace(microsecond=0)
    assert moment.local().utcoffset() == aware.utcoffset()
    assert Moment.of(moment.local()) == moment


@settings(derandomize=True)
@given(one=INSTANTS, other=INSTANTS, offset_min=OFFSETS, other_offset_min=OFFSETS)
def test_text_order_is_time_order(one, other, offset_min, other_offset_min):
    one, other = _aware(one, offset_min), _aware(other, other_offset_min)
    if abs(one - other) >= timedelta(seconds=1):
        assert (Moment.of(one).utc < Moment.of(other).utc) == (one < other)
        assert (Moment.of(one) < Moment.of(other)) == (one < other)


def test_a_time_without_a_zone_is_no_moment():
    with pytest.raises(ValueError, match="offset"):
        Moment.of(datetime(2026, 5, 3))


@pytest.mark.parametrize("text", ["", "2026-05-03", "2026-05-03 12:00:00", "2026-05-03T12:00:00+02:00"])
def test_only_the_stored_form_makes_a_moment(text):
    with pytest.raises(ValueError):
        Moment(text, 0)


def test_every_month_has_its_english_name():
    names = [day_text(f"2026-{month:02}-09").split()[1] for month in range(1, 13)]
    assert names == [
        "January", "February", "March", "April", "May", "June", "July",
        "August", "September", "October", "November", "December",
    ]  # fmt: skip
    assert day_text("") == ""


def test_early_years_keep_four_digits():
    assert Moment.of(datetime(33, 4, 3, tzinfo=UTC)).utc == "0033-04-03T00:00:00Z"
