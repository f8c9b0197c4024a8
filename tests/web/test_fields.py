"""Form fields: a value, or a message beside the field; never an exception while reading."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.moments import Moment
from garage.units import KINDS, DisplayUnits, entry_text
from garage.web.fields import FormErrors, Reader

NOW = datetime(2026, 5, 3, 12, 0, tzinfo=UTC)


def reader(units: DisplayUnits | None = None, **typed: str) -> Reader:
    return Reader(typed, units or DisplayUnits.metric(), NOW)


def test_good_fields_are_read_and_nothing_is_complained_about():
    read = reader(
        name="  Quince ", note="one\r\ntwo", length="742", kind="mono", own="on", poles="4",
        day="2026-05-03", at="2026-05-02T08:30", share="33,3",
    )  # fmt: skip
    assert read.text("name", required=True) == "Quince"
    assert read.long_text("note") == "one\ntwo"
    assert read.quantity("length", "length", low=100, high=3000) == 742
    assert read.choice("kind", ["mono", "hydroplane"]) == "mono"
    assert read.flag("own") is True and read.flag("retired") is False
    assert read.whole("poles", low=2, high=20) == 4
    assert read.number("share") == 33.3
    assert read.date("day") == "2026-05-03"
    assert read.moment("at") == Moment.of(datetime(2026, 5, 2, 8, 30).astimezone())
    assert read.errors == {}
    read.finish()


def test_empty_fields_are_nothing_unless_they_are_needed():
    read = reader(name="   ")
    assert read.text("name") == read.long_text("x") == read.choice("x", ["a"]) == read.date("x") == ""
    assert (read.quantity("x", "mass"), read.whole("x"), read.number("x"), read.moment("x")) == (None,) * 4
    assert read.errors == {}


@pytest.mark.parametrize(
    "ask",
    [
        lambda read: read.text("x", required=True),
        lambda read: read.long_text("x", required=True),
        lambda read: read.quantity("x", "mass", required=True),
        lambda read: read.whole("x", required=True),
        lambda read: read.number("x", required=True),
        lambda read: read.choice("x", ["a"], required=True),
        lambda read: read.date("x", required=True),
        lambda read: read.moment("x", required=True),
    ],
)
def test_what_is_needed_and_missing_is_asked_for(ask):
    read = reader()
    assert not ask(read)
    assert list(read.errors) == ["x"]


def test_all_messages_come_at_once_and_the_first_of_a_field_stays():
    read = reader(mass="heavy", length="-3")
    read.quantity("mass", "mass")
    read.quantity("length", "length", above=0)
    read.fail("length", "second thoughts")
    with pytest.raises(FormErrors) as failed:
        read.finish()
    assert failed.value.errors["length"] == "It must be more than 0 mm."
    assert "“heavy” is not a number" in failed.value.errors["mass"]


def test_bare_numbers_and_bounds_are_in_the_unit_the_person_sees():
    read = reader(DisplayUnits.imperial(), width="2", depth="0.5", wide="30 mm")
    assert read.quantity("width", "length") == 50.8
    assert read.quantity("depth", "length", high=7.9375) is None
    assert read.errors["depth"] == "It must be at most 0.3125 in."
    assert read.quantity("wide", "length", low=25.4) == 30


def test_bounds_themselves_are_allowed():
    read = reader(low="10", high="20")
    assert read.quantity("low", "mass", low=10) == 10
    assert read.quantity("high", "mass", high=20) == 20
    assert read.quantity("low", "mass", above=10) is None


@pytest.mark.parametrize("typed", ["3.5", "three", "1e3x", "5,000", "🚤", "9" * 10_000])
def test_what_is_no_whole_number_gets_a_message(typed):
    read = reader(blades=typed)
    assert read.whole("blades", low=1, high=9) is None
    assert read.errors["blades"].endswith((".", "?"))


def test_long_text_is_refused_with_its_count():
    read = reader(name="x" * 10_000, note="y" * 10_000)
    assert read.text("name") == "" and read.long_text("note") == ""
    assert read.errors["name"] == "10000 characters were written; at most 200 fit here."
    assert "10000" in read.errors["note"] and "5000" in read.errors["note"]


@pytest.mark.parametrize("sign", ["\x00", "\x1b", "\x7f", "\ud800", "\n"])
def test_characters_that_cannot_be_kept_are_refused_in_a_line(sign):
    read = reader(name=f"a{sign}b")
    assert read.text("name") == ""
    assert "name" in read.errors


def test_emoji_and_other_scripts_are_welcome_in_words():
    read = reader(name="Quitte 🚤 Ωμέγα")
    assert read.text("name") == "Quitte 🚤 Ωμέγα"


def test_a_choice_outside_the_list_is_refused():
    read = reader(kind="submarine")
    assert read.choice("kind", ["mono"]) == ""
    assert read.errors == {"kind": "Choose one from the list."}


@pytest.mark.parametrize(
    "typed",
    ["2026-02-30", "20260503", "2026-W18-7", "3.5.2026", "2026-5-3", "1949-12-31", "0001-01-01", "9999-12-31",
     "2026-05-05", "yesterday", "🚤", "٢٠٢٦-٠٥-٠٣"],
)  # fmt: skip
def test_impossible_days_are_refused(typed):
    read = reader(day=typed, at=f"{typed}T10:00")
    assert read.date("day") == "" and read.moment("at") is None
    assert set(read.errors) == {"day", "at"}


def test_a_day_to_come_is_allowed_where_plans_are_made():
    read = reader(day="2026-06-01", at="2026-06-01 10:00")
    assert read.date("day", future_ok=True) == "2026-06-01"
    assert read.moment("at", future_ok=True) is not None
    assert read.errors == {}


def test_a_later_time_today_is_still_to_come():
    later = (NOW + timedelta(minutes=5)).astimezone()
    read = reader(at=later.strftime("%Y-%m-%dT%H:%M"))
    assert read.moment("at") is None
    assert "still to come" in read.errors["at"]


@pytest.mark.parametrize("typed", ["2026-05-03T25:00", "2026-05-03T10:61", "2026-05-03", "10:00", "2026-05-03T10:00Z"])
def test_what_is_no_time_of_day_is_refused(typed):
    read = reader(at=typed)
    assert read.moment("at") is None and "at" in read.errors


@settings(derandomize=True)
@given(when=st.datetimes(min_value=datetime(1971, 1, 1), max_value=datetime(2026, 5, 1)))
def test_a_moment_shown_in_its_field_reads_back_the_same(when):
    moment = Moment.of(when.astimezone())
    assert reader(at=moment.local_text()).moment("at") == moment


@settings(derandomize=True, max_examples=200, deadline=None)
@given(kind=st.sampled_from(sorted(KINDS)), value=st.floats(0.001, 1e6), imperial=st.booleans())
def test_a_stored_measure_shown_in_its_field_reads_back_the_same(kind, value, imperial):
    units = DisplayUnits.imperial() if imperial else DisplayUnits.metric()
    read = reader(units, x=entry_text(value, kind, units.unit(kind)))
    assert read.quantity("x", kind) == value


@settings(derandomize=True, max_examples=300, deadline=None)
@given(typed=st.text(max_size=300))
def test_no_text_whatever_makes_reading_raise(typed):
    read = reader(x=typed)
    for read_as in (read.text, read.long_text, read.whole, read.number, read.flag, read.date, read.moment):
        read_as("x")
    read.quantity("x", "length", low=1)
    read.choice("x", ["a"])


def test_files_sent_under_a_field_name_are_not_taken_for_text():
    read = Reader({"x": object()}, DisplayUnits.metric(), NOW)  # type: ignore[dict-item]
    assert read.text("x") == ""


def test_a_minute_left_as_it_stands_is_the_time_that_the_form_was_opened_with_to_the_second():
    beside = {"at_to_the_second": "2026-05-02T10:00:56"}
    opened = reader(at="2026-05-02T10:00", **beside).moment("at")
    assert opened is not None and opened.local().second == 56
    for other in ("2026-05-02T10:01", "2026-05-02T10:00:12"):
        changed = reader(at=other, **beside).moment("at")
        assert changed is not None and changed.local().isoformat().startswith(other)
    was = Moment("2026-05-02T08:00:56Z", 120)
    assert reader(at="2026-05-02T10:00").moment("at", was=was) == was
    for odd in ("", "soon", "2026-05-02T10:00"):
        kept = reader(at="2026-05-02T10:00", at_to_the_second=odd).moment("at")
        assert kept is not None and kept.local().second == 0
