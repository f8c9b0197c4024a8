"""Lists in forms: a field for every entry, what was copied together taken apart, and what is wrong beside its field."""

from datetime import UTC, datetime

import pytest

from garage.fields.definition import Field
from garage.units import DisplayUnits
from garage.web.fields import Reader
from garage.web.rows import (
    fields_of_lines,
    figures_in,
    figures_of_each,
    lines_in,
    read_lines,
    rows_shown,
    without_row,
)

PART = ("name", "mass", "x")


def _reader(**typed: str) -> Reader:
    return Reader(typed, DisplayUnits.metric(), datetime(2026, 5, 9, 14, 30, tzinfo=UTC))


def _lengths(**typed: str) -> tuple[list[tuple[str, float]], dict[str, str]]:
    reader = _reader(**typed)
    return figures_of_each(reader, "p", "length", 2, "blade", "2 blades"), reader.errors


@pytest.mark.parametrize(
    "written", ["65.8; 66.2", "65,8 66,2", "65.8, 66.2", "65.8 mm; 6.62 cm", "65.8 / 66.2", "65.8\t66.2", "65.8\n66.2"]
)
def test_figures_put_into_the_first_field_stand_for_all_of_them(written):
    for name in ("p_1", "p"):
        found, errors = _lengths(**{name: written, "p_2": ""})
        assert [value for _, value in found] == pytest.approx([65.8, 66.2]) and errors == {}


def test_a_stroke_within_a_unit_parts_nothing():
    assert figures_in("118.8 km/h; 27 m/s") == ["118.8 km/h", "27 m/s"] and figures_in("3.8/3.9") == ["3.8", "3.9"]


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({"p_1": "65", "p_2": ""}, ["p_2"]), ({"p_1": "", "p_2": "65"}, ["p_1"]),
        ({"p_1": "65", "p_2": "flat"}, ["p_2"]), ({"p_1": "65", "p_2": "66", "p_3": "67"}, ["p"]),
        ({"p_1": "65; 66; 67", "p_2": ""}, ["p"]),
        ({"p": "65"}, ["p"]), ({"p_1": "9" * 400, "p_2": "1"}, ["p_1"]), ({"p_1": "", "p_2": ""}, []),
    ],
)  # fmt: skip
def test_what_is_missing_or_wrong_is_said_beside_its_field(typed, beside):
    found, errors = _lengths(**typed)
    assert found == [] and list(errors) == beside


def test_a_form_shows_the_rows_there_are_the_usual_number_and_one_more_when_asked():
    assert rows_shown("part", 3, [], "") == [1, 2, 3] and rows_shown("part", 3, [], "part") == [1, 2, 3]
    there = ["part_2_mass", "part_2_x", "part_5", "part_rows", "other_9", "part_0_mass", "part_x"]
    assert rows_shown("part", 1, there, "") == [2, 5] and rows_shown("part", 1, there, "part") == [2, 5, 6]
    assert rows_shown("part", 3, there, "other") == [2, 5, 6]


def test_the_row_that_goes_is_that_one_alone():
    stays = without_row({"row_drop": "part_1"})
    assert [name for name in ("part_1_mass", "part_1", "part_11_mass", "row_drop", "why") if stays(name)] == [
        "part_11_mass", "why",
    ]  # fmt: skip


def test_rows_are_lines_and_lines_are_rows():
    rows = fields_of_lines("part", PART, "hull;620;300\n\npack;520;36 cm")
    assert rows["part_2_name"] == "pack" and [line.text for line in lines_in(rows, "part", PART)] == [
        "hull;620;300", "pack;520;36 cm",
    ]  # fmt: skip
    odd = {
        "part_3_name": "a; b",
        "part_3_mass": "5",
        "part_3_x": "",
        "part_4_name": " ",
        "part_7_name": "pack\t520\t360",
    }
    assert [(one.field, one.text) for one in lines_in(odd, "part", PART)] == [
        ("part_3", "a, b;5"), ("part_7", "pack;520;360"),
    ]  # fmt: skip
    reader = _reader(part_1_name="x" * 61, part_1_mass="5")
    read_lines(reader, "part", [Field("name", "Part", most=60), Field("mass", "Mass")])
    assert list(reader.errors) == ["part_1_name"]
