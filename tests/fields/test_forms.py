"""From the texts of a form to columns and back, by a list with a field of every kind."""

from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.fields.definition import Field, in_row
from garage.fields.forms import blank, fill, fresh, held, read, read_as
from garage.fields.showing import facts, in_words, values
from garage.measures import Measure
from garage.moments import Moment
from garage.units import DisplayUnits
from garage.web.fields import Reader
from tests.conftest import NOW

FIELDS = (
    Field("name", "Name", required=True, most=10),
    Field("notes", "Notes", "long text"),
    Field("kind", "Kind", "choice", choices=(("m", "mono"), ("c", "catamaran"))),
    Field("screws", "Screws", "whole", low=1, high=2, choices=("1", "2"), default=1),
    Field("blades", "Blades", "whole", low=1, high=8),
    Field("ratio", "Ratio", "number", low=0, high=3),
    Field("length", "Length", "length", low=50, high=5000, origin="measured"),
    Field("drilled", "Drilled", "yes/no", default=True),
    Field("bought_on", "Bought on", "date"),
    Field("due_on", "Due on", "date", future_ok=True),
    Field("made", "Made", "moment"),
    Field("silent", "Silent", asked="", listed=False),
)
FULL = {
    "name": "Tern", "notes": "two\nlines", "kind": "c", "screws": "2", "blades": "3", "ratio": "1.4", "length": "690",
    "drilled": "yes", "bought_on": "2026-05-03", "due_on": "2031-01-02", "made": "2026-05-04T10:15",
    "silent": "not asked",
}  # fmt: skip
UNITS = (DisplayUnits.metric(), DisplayUnits.imperial())


def _read(typed: dict[str, str], units: DisplayUnits = UNITS[0]) -> dict:
    reader = Reader(typed, units, NOW)
    form = read(FIELDS, reader)
    reader.finish()
    return form


def test_a_form_is_read_into_columns_in_storage_units():
    form = _read(FULL | {"length": "27 in"})
    assert form.pop("made_at").startswith("2026-05-04T") and isinstance(form.pop("offset_min"), int)
    assert form == {
        "name": "Tern", "notes": "two\nlines", "kind": "c", "screws": 2, "blades": 3, "ratio": 1.4,
        "length_mm": pytest.approx(685.8), "drilled": True, "bought_on": "2026-05-03", "due_on": "2031-01-02",
    }  # fmt: skip


def test_what_is_left_open_is_empty_or_the_default():
    form = _read({"name": "Tern"})
    assert form == {
        "name": "Tern", "notes": "", "kind": "", "screws": 1, "blades": None, "ratio": None, "length_mm": None,
        "drilled": False, "bought_on": "", "due_on": "", "made_at": None,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("name", ""), ("name", "x" * 11), ("kind", "mono"), ("screws", "3"), ("blades", "2.5"), ("blades", "9"),
        ("ratio", "-1"), ("length", "9 km"), ("length", "4 kg"), ("bought_on", "31 April"),
        ("bought_on", "2031-01-02"), ("due_on", "2999-01-02"), ("made", "soon"),
    ],
)  # fmt: skip
def test_a_wrong_text_is_said_beside_its_own_field(name, typed):
    reader = Reader(FULL | {name: typed}, UNITS[0], NOW)
    read(FIELDS, reader)
    assert list(reader.errors) == [name]


@pytest.mark.parametrize("units", UNITS, ids=("metric", "imperial"))
@given(length=st.floats(51, 4999), ratio=st.floats(0, 3), drilled=st.booleans(), kind=st.sampled_from(("", "m", "c")))
def test_what_stands_in_the_form_reads_back_as_it_was(units, length, ratio, drilled, kind):
    kept = _read(FULL) | {"length_mm": length, "ratio": round(ratio, 9), "drilled": drilled, "kind": kind}
    assert _read(fill(FIELDS, SimpleNamespace(**kept), units), units) == kept


def test_a_bound_that_is_too_low_itself_is_refused_and_what_lies_above_it_is_not():
    fields = (Field("width", "Width", "length", low=0, above_low=True, high=20),)
    for typed, errors in (("0", ["width"]), ("20.1", ["width"]), ("0.1", []), ("20", [])):
        reader = Reader({"width": typed}, UNITS[0], NOW)
        read(fields, reader)
        assert list(reader.errors) == errors, typed


def test_a_moment_without_an_offset_beside_it_is_read_and_shown_by_this_machines_zone():
    field = Field("done", "Done", "moment", offset="")
    reader = Reader({"done": "2026-05-04T10:15"}, UNITS[0], NOW)
    form = read((field,), reader)
    assert list(form) == ["done_at"]
    row = SimpleNamespace(**form)
    assert fill((field,), row, UNITS[0])["done"].startswith("2026-05-04T10:15")
    assert in_words(field, row.done_at, UNITS[0]) == facts((field,), row)[0].text == "4 May 2026, 10:15"
    assert values((field,), row)["done"] == Moment.here(row.done_at)


def test_a_new_thing_begins_with_the_defaults():
    assert fresh(FIELDS, UNITS[0]) == {"screws": "1", "drilled": "yes"}
    before = Field("before", "Before", "whole", low=0, default=0)
    assert fresh((before,), UNITS[0]) == {"before": "0"}


def test_facts_leave_out_what_is_not_known_and_say_where_a_figure_is_from():
    shown = facts(FIELDS, SimpleNamespace(**_read(FULL | {"blades": "", "drilled": ""}), silent=""))
    assert {fact.label: fact.measure or fact.text for fact in shown} == {
        "Name": "Tern", "Notes": "two\nlines", "Kind": "catamaran", "Screws": "2", "Ratio": "1.4",
        "Length": Measure(690, "length", "measured"), "Bought on": "3 May 2026",
        "Due on": "2 January 2031", "Made": "4 May 2026, 10:15",
    }  # fmt: skip


def test_values_are_all_there_known_or_not():
    row = SimpleNamespace(**_read({"name": "Tern"}), silent="hush")
    shown = values(FIELDS, row)
    assert list(shown) == [field.name for field in FIELDS]
    assert shown["length"] == Measure(None, "length", "measured")
    assert (shown["made"], shown["silent"], shown["drilled"]) == (None, "hush", False)
    row.made_at, row.offset_min = "2026-05-04T08:15:00Z", 120
    assert values(FIELDS, row)["made"] == Moment("2026-05-04T08:15:00Z", 120)


@pytest.mark.parametrize(
    ("name", "stored", "words"),
    [
        ("length", "254.0", "10 in"), ("length", "", ""), ("kind", "c", "catamaran"),
        ("bought_on", "2026-05-03", "3 May 2026"), ("drilled", "True", "yes"), ("drilled", "False", "no"),
        ("drilled", "yes", "yes"), ("drilled", "no", "no"),
        ("blades", "3", "3"), ("notes", "as it was", "as it was"),
    ],
)  # fmt: skip
def test_a_corrected_value_is_told_in_the_unit_preferred(name, stored, words):
    field = next(field for field in FIELDS if field.name == name)
    assert in_words(field, stored, DisplayUnits.imperial()) == words


RIDE = Field("ride", "Ride", "rating", ends=("wet", "dry"))
WINDOW = Field("window", "Window", "duration", low=0, high=60, above_low=True, required=True)


def _reader(typed: dict[str, str]) -> Reader:
    return Reader(typed, UNITS[0], NOW)


@pytest.mark.parametrize(("typed", "step"), [("", None), ("1", 1), ("5", 5)])
def test_a_rating_is_one_of_five_steps_or_open(typed, step):
    assert read((RIDE,), _reader({"ride": typed})) == {"ride": step}
    assert fill((RIDE,), SimpleNamespace(ride=step), UNITS[0]) == {"ride": typed}


@pytest.mark.parametrize(("field", "typed"), [(RIDE, "0"), (RIDE, "6"), (RIDE, "2.5"), (WINDOW, "0"), (WINDOW, "61")])
def test_what_is_no_step_and_what_is_not_above_the_bound_is_refused(field, typed):
    reader = _reader({field.name: typed})
    read((field,), reader)
    assert list(reader.errors) == [field.name]


def test_in_a_row_of_a_form_the_names_begin_with_the_row_and_nothing_is_insisted_on():
    reader = _reader({"t2_ride": "3", "ride": "1"})
    assert read(in_row((RIDE, WINDOW), "t2"), reader) == {"ride": 3, "window_s": None}
    assert not reader.errors


def test_one_field_may_be_read_by_another_name_in_its_own_bounds():
    reader = _reader({"long": "30 s", "wrong": "2 h"})
    assert read_as("long", WINDOW, reader) == 30 and read_as("nowhere", WINDOW, reader) is None
    read_as("wrong", WINDOW, reader)
    assert list(reader.errors) == ["wrong"]


def test_a_row_of_which_nothing_is_said_holds_the_defaults_and_else_nothing():
    row = blank(FIELDS)
    assert {name: value for name, value in row.items() if value not in ("", None)} == {"screws": 1, "drilled": True}
    assert held(FIELDS, SimpleNamespace(**row)) == row


def test_a_field_may_be_asked_for_by_several_forms():
    assert Field("a", "A", asked="more, evening").sections == ("more", "evening")
    assert Field("a", "A", asked="").sections == ()
