"""What the lists of a run's fields say: bounds as the migrations have them, and who asks for what."""

from datetime import UTC, datetime

import pytest

from garage.fields.forms import read
from garage.runs import fields
from garage.runs.fields import FIELDS, INCIDENT_FIELDS, PACK_FIELDS, READING_SECTIONS, TEMPERATURE_FIELDS
from garage.units import DisplayUnits
from garage.web.fields import Reader
from tests.fields.rules import asked, bounds, choices, names

TABLES = {"run": FIELDS, "run_pack": PACK_FIELDS, "run_temperature": TEMPERATURE_FIELDS, "incident": INCIDENT_FIELDS}
# What a rested pack stands at is no less than a cell of it; the table of the first edition took nought.
WIDER = {"rested": (0.5, 120)}
LONGEST = {"note": 5000, "try_next": 300, "throttle_eased": 200, "rudder_trim": 120}


@pytest.mark.parametrize("table", TABLES)
def test_bounds_and_choices_are_those_of_the_table(empty_file, table):
    ends, words = bounds(empty_file, table), choices(empty_file, table)
    for field in TABLES[table]:
        if field.is_number:
            assert (field.low, field.high) == WIDER.get(field.name, ends[field.column]), field.name
        if field.choices:
            assert list(field.values) == [word for word in words[field.column] if word], field.name
            # What needs no word may be left open.
            assert ("" in words[field.column]) == (not field.is_needed), field.name


@pytest.mark.parametrize("name", LONGEST)
def test_words_are_taken_up_to_their_length_and_no_further(name):
    def failed(length: int) -> bool:
        reader = Reader({name: "x" * length}, DisplayUnits.metric(), datetime(2026, 5, 9, tzinfo=UTC))
        read(FIELDS, reader)
        return name in reader.errors

    assert (failed(LONGEST[name]), failed(LONGEST[name] + 1)) == (False, True)


def test_each_section_of_a_form_asks_for_its_own():
    ratings = "ride_rating straight_rating corner_rating acceleration_rating"
    assert asked(FIELDS) == {
        "time": "kind duration full_throttle",
        "speed": "speed",
        "reading": "speed_how ways",
        "window": "averaging",
        "measured": "passes course",
        "ride": ratings,
        "word": "note",
        "next": "try_next",
        "more": "throttle_eased rudder_trim outlet water_inside depth sun",
        # What nobody has time for at the water.
        "evening": "speed speed_how ways passes duration",
        "evening ride": ratings,
        "evening words": "note try_next",
        # Only where something happened that may have spoiled the speed.
        "counts": "speed_counts",
        "evening counts": "speed_counts",
    }
    assert set(READING_SECTIONS) == {"reading", "window", "measured"}
    assert asked(PACK_FIELDS) == dict.fromkeys(("pack", "evening"), "temperature rested charge volts")
    assert asked(TEMPERATURE_FIELDS) == {"reading": "spot temperature after", "side": "place", "note": "note"}
    assert asked(INCIDENT_FIELDS) == {"main": "kind cause recovered note damaged spoiled"}


def test_the_next_run_is_read_as_the_last_one_was_and_nothing_that_happened_is_carried_on():
    assert names(FIELDS, "carried") == "kind speed_how ways passes course averaging rudder_trim"


def test_what_a_page_tells_in_its_own_way_is_not_among_its_facts():
    told = {field.name for field in FIELDS if not field.listed}
    assert told == {"speed", "speed_how", "ways", "note", "try_next", "speed_counts"} | {
        field.name for field in FIELDS if field.kind == "rating"
    }
    assert not any(field.listed for field in PACK_FIELDS)


def test_words_are_found_and_choices_are_not():
    assert names(FIELDS, "searched") == "note try_next throttle_eased rudder_trim"
    assert {field.name: field.searched for field in INCIDENT_FIELDS if field.searched} == {
        "kind": "title", "cause": "text", "recovered": "text", "note": "text"
    }  # fmt: skip
    assert names(TEMPERATURE_FIELDS, "searched") == "note"


def test_every_figure_that_a_page_lists_says_where_it_came_from():
    for field in FIELDS:
        assert bool(field.origin) == (field.listed and field.is_measure), field.name
    # The voltage after is read, or added up: its page tells which.
    assert names(PACK_FIELDS, "origin") == "temperature rested charge"


def test_what_is_insisted_on_and_what_counts_where_nothing_is_said():
    everything = [field for of_table in TABLES.values() for field in of_table]
    assert [field.name for field in everything if field.required] == ["spot", "temperature", "kind"]
    assert {field.name: field.default for field in everything if field.default is not None} == {
        "kind": "speed", "wiring": "single", "place": "single"
    }  # fmt: skip
    assert [field.name for field in everything if field.above_low] == ["averaging"]
    assert [field.name for field in everything if not field.checked] == ["rested"]
    # How long an incident may be told, and how long a reading may wait: a day.
    assert [field.most for field in INCIDENT_FIELDS] == [0, 0, 0, 500, 0, 0]
    assert fields.AFTER.high == 24 * 3600


def test_a_spreadsheet_of_past_runs_may_have_what_was_always_written_down():
    assert names(FIELDS, "headings") == "speed speed_how ways duration note try_next"
    assert names(PACK_FIELDS, "headings") == "charge"


def test_what_a_word_leaves_open_is_hinted_at():
    assert names(FIELDS, "hint") == "ways passes duration course averaging note"
    assert names(PACK_FIELDS, "hint") == "rested charge volts"


def test_each_rating_has_a_word_for_each_step_and_for_both_ends():
    for field in FIELDS:
        if field.kind == "rating":
            assert len(set(field.steps)) == 5 and field.said(1) == field.steps[0] and field.said(5) == field.steps[4]
            assert field.ends[0] == field.steps[0] and field.steps[4].startswith(field.ends[1])
    bare = fields.RunField("grip_rating", "Grip", "rating")
    assert bare.said(4) == "grip 4 of 5"
