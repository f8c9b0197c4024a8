"""What a person may type of packs, props, volts, readings and incidents, and what is made of it."""

from datetime import UTC, datetime

import pytest

from garage.runs.entry import forms
from garage.runs.entry.forms import PackPick, PropPick
from garage.units import DisplayUnits
from garage.web.fields import FormErrors, Reader


def _reader(**typed: str) -> Reader:
    return Reader(typed, DisplayUnits.metric(), datetime(2026, 5, 9, 14, 30, tzinfo=UTC))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("3", ((3,), "")), ("3+4:series", ((3, 4), "series")), ("3+4", ((3, 4), "")), ("12345678", ((12345678,), "")),
        ("123456789", ((123456789,), "")), ("1234567890", ((), "")), ("", ((), "")), ("3+", ((), "")),
        ("3:", ((), "")), ("x", ((), "")), ("3:Series", ((), "")), (" 3", ((), "")),
    ],
)  # fmt: skip
def test_an_entry_of_the_list_is_ids_and_wiring_or_nothing(text, found):
    assert forms.split_pick(text) == found


@pytest.mark.parametrize(
    ("text", "codes"), [("J + K", ("J", "K")), ("J,K & L", ("J", "K", "L")), (" J ", ("J",)), ("+ ,", ()), ("", ())]
)
def test_codes_are_parted_by_plus_comma_or_and(text, codes):
    assert forms.split_codes(text) == codes


@pytest.mark.parametrize(
    ("typed", "pick"),
    [
        ({"pack": "3"}, PackPick((3,))), ({"pack": "3+4:series"}, PackPick((3, 4), (), "series")),
        ({"pack": "3+4:series", "wiring": "parallel"}, PackPick((3, 4), (), "parallel")),
        ({"pack": "3", "pack_anyway": "yes"}, PackPick((3,), anyway=True)), ({}, PackPick()),
        ({"pack_code": "J + K", "wiring": "left"}, PackPick((), ("J", "K"), "left")),
        ({"pack_code": "J", "pack_anyway": "1"}, PackPick((), ("J",), anyway=True)),
    ],
)  # fmt: skip
def test_packs_are_chosen_or_written(typed, pick):
    reader = _reader(**typed)
    assert forms.read_pack_pick(reader) == pick and reader.errors == {}


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({"pack": "3", "pack_code": "J"}, "pack_code"), ({"pack": "J"}, "pack"), ({"wiring": "crossed"}, "wiring"),
        ({"pack": "1" * 61}, "pack"), ({"pack_code": "J" * 61}, "pack_code"),
    ],
)  # fmt: skip
def test_what_is_no_choice_of_packs_is_told_beside_its_field(typed, beside):
    reader = _reader(**typed)
    forms.read_pack_pick(reader)
    assert list(reader.errors) == [beside]


def test_as_many_signs_as_fit_are_taken():
    reader = _reader(pack_code="J" * 60)
    assert forms.read_pack_pick(reader).codes == ("J" * 60,) and reader.errors == {}
    reader = _reader(prop_left="1" * 12, prop_right_code="P" * 60)
    picks = forms.read_prop_picks(reader, ("left", "right"))
    assert picks == [PropPick("left", 111111111111), PropPick("right", None, "P" * 60)] and reader.errors == {}
    for typed in ({"prop_left": "1" * 13}, {"prop_left_code": "P" * 61}):
        reader = _reader(**typed)
        forms.read_prop_picks(reader, ("left",))
        assert len(reader.errors) == 1


def test_of_a_prop_the_code_is_the_newer_word_and_an_open_place_is_left_out():
    reader = _reader(prop_left="7", prop_left_code="P9", prop_right="8")
    assert forms.read_prop_picks(reader, ("left", "right", "single")) == [
        PropPick("left", None, "P9"), PropPick("right", 8, "")
    ]  # fmt: skip
    for wrong in ("x", "²"):
        reader = _reader(prop_left=wrong)
        assert forms.read_prop_picks(reader, ("left",)) == [] and list(reader.errors) == ["prop_left"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("3.71 3.70 3,72", (11.13, (3.71, 3.70, 3.72))), ("3.71V; 3.70v/3.72", (11.13, (3.71, 3.70, 3.72))),
        ("11.1", (11.1, ())), ("4.6", (4.6, (4.6,))), ("4.61", (4.61, ())), ("0.5", (0.5, (0.5,))), ("120", (120, ())),
        ("3.7,", (3.7, (3.7,))), ("", (None, ())), (" , ", (None, ())),
    ],
)  # fmt: skip
def test_volts_after_are_those_of_each_cell_or_of_the_pack(text, found):
    reader = _reader(v=text)
    assert forms.read_volts(reader, "v") == found and reader.errors == {}


@pytest.mark.parametrize("text", ["0.49", "120.1", "3.7 4.61", "3.7 0.4", "11.1 11.2", "full", "3.7 " * 51])
def test_volts_that_no_cell_and_no_pack_has_are_refused(text):
    reader = _reader(v=text)
    assert forms.read_volts(reader, "v") == (None, ()) and list(reader.errors) == ["v"]


def test_full_throttle_is_no_longer_than_the_run():
    for full, failed in (("90", False), ("91", True)):
        reader = _reader(duration="90", full_throttle=full)
        forms.read_facts(reader)
        assert ("full_throttle" in reader.errors) == failed
    for alone in ({"duration": "90"}, {"full_throttle": "90"}):
        reader = _reader(**alone)
        forms.read_facts(reader)
        assert reader.errors == {}


@pytest.mark.parametrize(
    ("typed", "averaging_s", "failed"),
    [
        ({}, None, False), ({"averaging": "2"}, 2.0, False), ({"averaging_way": "single reading"}, 0.0, False),
        ({"averaging_way": "window", "averaging": "2"}, 2.0, False), ({"averaging_way": "window"}, None, True),
        ({"averaging_way": "single reading", "averaging": "2"}, 0.0, True),
    ],
)  # fmt: skip
def test_a_single_reading_has_no_window_and_a_window_has_a_length(typed, averaging_s, failed):
    reader = _reader(**typed)
    assert forms.read_facts(reader)["averaging_s"] == averaging_s
    assert ("averaging" in reader.errors) == failed


def test_readings_are_those_of_rows_with_a_temperature_up_to_the_last_row():
    typed = {"t1_spot": "pack", "t1_temperature": "41", "t1_after": "30", "t24_spot": "other", "t24_temperature": "30",
             "t25_spot": "other", "t25_temperature": "31", "t3_spot": "pack"}  # fmt: skip
    reader = _reader(**typed)
    read = forms.read_temperatures(reader)
    assert [(one.spot, one.temperature_c, one.seconds_after) for one in read] == [("pack", 41, 30), ("other", 30, None)]
    assert reader.errors == {}


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({"t2_after": "30"}, "t2_temperature"), ({"t2_note": "rear"}, "t2_temperature"),
        ({"t2_temperature": "30"}, "t2_spot"), ({"t2_temperature": "hot", "t2_after": "3"}, "t2_temperature"),
        ({"t2_pack": "9"}, "t2_pack"),
    ],
)  # fmt: skip
def test_a_reading_that_lacks_something_says_what(typed, beside):
    reader = _reader(**typed)
    forms.read_temperatures(reader)
    assert list(reader.errors) == [beside]


@pytest.mark.parametrize(
    ("spot", "which", "ids", "pack_id"),
    [
        ("pack", "", (5,), 5), ("pack", "", (5, 6), None), ("pack", "1", (5, 6), 5), ("pack", "2", (5, 6), 6),
        ("pack", "3", (5, 6), None), ("other", "1", (5,), None), ("pack", "1", (), None), ("pack", "4", (5,), None),
    ],
)  # fmt: skip
def test_a_reading_of_a_pack_is_of_the_one_named_or_of_the_only_one(spot, which, ids, pack_id):
    reader = _reader(t1_spot=spot, t1_temperature="40", t1_pack=which)
    assert [one.pack_id for one in forms.read_temperatures(reader, ids)] == [pack_id] and reader.errors == {}


def test_incidents_are_rows_with_a_kind_and_two_rows_are_read():
    reader = _reader(i1_kind="flip", i2_kind="hook", i2_damaged="on", i3_kind="other")
    assert [(one.kind, one.damaged) for one in forms.read_incidents(reader)] == [("flip", False), ("hook", True)]
    for typed in ({"i1_note": "x"}, {"i1_spoiled": "1"}):
        reader = _reader(**typed)
        assert forms.read_incidents(reader) == [] and list(reader.errors) == ["i1_kind"]
    reader = _reader()
    assert forms.read_incident(reader, "i1").kind == "" and reader.errors == {}
    forms.read_incident(reader, "i1", required=True)
    assert list(reader.errors) == ["i1_kind"]


def test_a_move_needs_a_state_and_a_reason():
    assert forms.read_pin(_reader(state="100000", pin_why="x" * 300)) == (100000, "x" * 300)
    assert forms.read_pin(_reader(state="1", pin_why="x")) == (1, "x")
    for typed in ({"state": "0", "pin_why": "x"}, {"state": "100001", "pin_why": "x"}, {"state": "2"},
                  {"pin_why": "x"}, {"state": "2", "pin_why": "x" * 301}):  # fmt: skip
        with pytest.raises(FormErrors):
            forms.read_pin(_reader(**typed))


def test_what_is_read_off_a_pack_has_the_sum_of_its_cells():
    typed = {"pack1_temperature": "24", "pack1_rested": "12.5", "pack1_charge": "2100", "pack1_volts": "3.7 3.8"}
    found = forms.read_pack_readings(_reader(**typed), "pack1")
    assert found == {
        "start_temperature_c": 24, "rested_v": 12.5, "charge_mah": 2100, "end_v": 7.5,
        "volts_after": (3.7, 3.8),
    }  # fmt: skip
    reader = _reader(pack1_rested="0.49")
    forms.read_pack_readings(reader, "pack1")
    assert list(reader.errors) == ["pack1_rested"]
