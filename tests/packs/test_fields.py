"""What the lists of a pack's fields say: bounds as the migrations have them, and who asks for what."""

from datetime import UTC, datetime

import pytest

from garage.fields.forms import read
from garage.packs import fields
from garage.packs.fields import FIELDS, LOG_FIELDS, READING_FIELDS, SET_FIELDS
from garage.units import DisplayUnits
from garage.web.fields import Reader
from tests.fields.rules import asked, bounds, choices, names

TABLES = {"pack": FIELDS, "pack_log": LOG_FIELDS, "pack_reading": READING_FIELDS, "pack_set": SET_FIELDS}
# A run writes wider figures than a person types, and a nought once stood for "no rule".
WIDER = {
    ("pack", "break_in_c"): (0.1, 100), ("pack_log", "charge"): (1, 100000), ("pack_log", "current"): (0.01, 1000),
    ("pack_log", "temperature"): (-20, 150), ("pack_reading", "temperature"): (-20, 90),
}  # fmt: skip
LONGEST = {"code": 20, "name": 80, "connector": 80}
NOW = datetime(2026, 5, 9, tzinfo=UTC)


@pytest.mark.parametrize("table", TABLES)
def test_bounds_and_choices_are_those_of_the_table(empty_file, table):
    ends, words = bounds(empty_file, table), choices(empty_file, table)
    for field in TABLES[table]:
        if field.is_number:
            assert (field.low, field.high) == (WIDER.get((table, field.name)) or ends[field.column]), field.name
        if field.choices:
            # A run alone writes "run".
            assert list(field.values) == [word for word in words[field.column] if word != "run"], field.name
        assert field.checked == ((table, field.name) not in {*WIDER, ("pack_log", "kind")}), field.name


@pytest.mark.parametrize(
    ("of", "name", "most"),
    [
        (FIELDS, "code", 20), (FIELDS, "name", 80), (FIELDS, "connector", 80), (FIELDS, "notes", 5000),
        (LOG_FIELDS, "note", 1000), (READING_FIELDS, "note", 1000), (READING_FIELDS, "instrument", 80),
        (SET_FIELDS, "name", 80),
    ],
)  # fmt: skip
def test_words_are_taken_up_to_their_length_and_no_further(of, name, most):
    def failed(length: int) -> bool:
        reader = Reader({name: "x" * length}, DisplayUnits.metric(), NOW)
        read(of, reader)
        return name in reader.errors

    assert (failed(most), failed(most + 1)) == (False, True)


def test_each_section_of_a_form_asks_for_its_own():
    assert asked(FIELDS) == {
        "name": "code name",
        "cells": "cells_s cells_p capacity",
        "known": "capacity_measured stated_c full_v_per_cell mass connector",
        "limit": "limit",
        "age": "bought_on first_charged_on charges_before break_in_charges break_in_c",
        "main": "notes",
    }
    assert asked(LOG_FIELDS) == {"what": "kind at", "figures": "charge current temperature", "main": "note"}
    assert asked(READING_FIELDS) == {
        "how": "method instrument temperature state_of_charge rest", "when": "at", "main": "note"
    }  # fmt: skip
    assert asked(SET_FIELDS) == {"main": "name wiring"}


def test_what_is_insisted_on_and_what_counts_where_nothing_is_said():
    assert [names(of, "required") for of in TABLES.values()] == [
        "code cells_s capacity", "kind at", "method at", "name wiring"
    ]  # fmt: skip
    found = {field.name: field.default for of in TABLES.values() for field in of if field.default is not None}
    # A cell of the usual chemistry is full at 4.2 V: common practice, no source.
    assert found == {
        "cells_p": 1, "full_v_per_cell": 4.2, "charges_before": 0, "break_in_charges": 4, "kind": "bench",
        "wiring": "series",
    }  # fmt: skip
    assert names(FIELDS, "unique") == "code"


def test_what_a_page_tells_in_its_own_way_is_not_among_its_facts():
    listed = "capacity capacity_measured stated_c full_v_per_cell mass limit connector bought_on first_charged_on"
    assert [names(of, "listed") for of in TABLES.values()] == [listed, "", "", "name wiring"]


def test_words_are_found_by_what_a_thing_is_called_and_by_what_was_written_of_it():
    found = [{field.name: field.searched for field in of if field.searched} for of in TABLES.values()]
    assert found == [
        {"code": "title", "name": "title", "connector": "text", "notes": "text"},
        {"note": "text"},
        {"instrument": "title", "note": "text"},
        {"name": "title"},
    ]


def test_every_figure_that_a_page_shows_says_where_it_came_from():
    for of in (FIELDS, LOG_FIELDS, READING_FIELDS):
        for field in of:
            if field.is_measure or field.name == "stated_c":
                assert field.origin, field.name


def test_what_a_word_leaves_open_is_hinted_at_and_a_short_word_has_a_short_field():
    assert names(FIELDS, "hint") == (
        "code name cells_s cells_p capacity capacity_measured mass limit charges_before break_in_charges"
    )
    assert (names(LOG_FIELDS, "hint"), names(READING_FIELDS, "hint")) == ("charge", "instrument")
    assert names(FIELDS, "short") == "code cells_s cells_p stated_c charges_before break_in_charges break_in_c"


def test_the_offset_of_a_moment_stands_beside_it():
    moments = [field for of in (LOG_FIELDS, READING_FIELDS) for field in of if field.kind == "moment"]
    assert [(field.column, field.offset) for field in moments] == [("at", "offset_min")] * 2


def test_a_cell_is_told_within_what_any_size_of_cell_has(empty_file):
    assert bounds(empty_file, "pack")["limit_mohm"] == (fields.LEAST_MOHM, fields.MOST_MOHM)
    assert bounds(empty_file, "pack")["break_in_charges"][1] == fields.MOST_BREAK_IN
