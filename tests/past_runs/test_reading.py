"""Spreadsheets as people save them: separators, letters, headings with units, dates in any order."""

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.past_runs.columns import heading_parts, suggested
from garage.past_runs.reading import UnreadableTable, read_table
from garage.past_runs.row import PastRow, Refused, RowRules, read_day_and_time, read_row


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_separator_and_encoding_gives_the_same_table(separator: str, encoding: str):
    lines = [("Date", "Boat", "Note"), ("2025-05-03", "Größe", "a"), ("", "", ""), ("2025-05-04", "B", "")]
    content = "\r\n".join(separator.join(line) for line in lines).encode(encoding)
    table = read_table(content)
    assert table.headings == ("Date", "Boat", "Note")
    assert table.rows == ((2, ("2025-05-03", "Größe", "a")), (4, ("2025-05-04", "B", "")))


def test_quoted_cells_keep_their_separators_and_line_breaks():
    table = read_table(b'Date,Boat,Note\r\n2025-05-03,"A, the first","two\nlines"\r\n')
    assert table.rows[0][1] == ("2025-05-03", "A, the first", "two\nlines")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no table"),
        (b"Date,Boat\n", "no table"),
        (b"only one column\nand a line\n", "only one column"),
        (b"PK\x03\x04 a spreadsheet program's own file", "save the sheet as CSV"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "save the sheet as CSV"),
        (b"a,b\n" + b"1,2\n" * 2001, "2000 are taken in at once"),
        (b'a,b\n"' + b"x," * 100_000, "could not be read"),
    ],
)
def test_what_is_no_table_is_refused_in_words(content: bytes, words: str):
    with pytest.raises(UnreadableTable, match=words):
        read_table(content)


@given(st.binary(max_size=400))
def test_any_bytes_are_a_table_or_refused_in_words(content: bytes):
    try:
        table = read_table(content)
    except UnreadableTable as error:
        assert str(error)
    else:
        assert all(len(cells) == len(table.headings) for _, cells in table.rows)


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("Top speed (mph)", ("top speed", "mph")),
        ("speed_kmh", ("speed", "km/h")),
        ("Air [°C]", ("air", "°C")),
        ("Motor temp, F", ("motor temp", "°F")),
        ("Notes", ("notes", "")),
        ("Wind (strong)", ("wind (strong)", "")),
    ],
)
def test_the_unit_in_a_heading_is_found(heading: str, expected: tuple[str, str]):
    assert heading_parts(heading) == expected


def test_usual_headings_are_recognised_each_once():
    headings = ["Day", "Boat", "Lake", "Max speed [mph]", "Battery", "Propeller", "Remarks", "Colour"]
    assert suggested(headings) == {
        "date": 0, "hull": 1, "water": 2, "speed": 3, "pack": 4, "prop": 5, "note": 6,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("written", "order", "expected"),
    [
        ("2025-05-03", "year first", (date(2025, 5, 3), None)),
        ("03.05.2025", "day first", (date(2025, 5, 3), None)),
        ("5/3/25", "month first", (date(2025, 5, 3), None)),
        ("2025-05-03T14:05:30", "day first", (date(2025, 5, 3), time(14, 5, 30))),
        ("3.5.2025 2:05 pm", "day first", (date(2025, 5, 3), time(14, 5))),
    ],
)
def test_dates_are_read_in_the_order_that_was_said(written, order, expected):
    assert read_day_and_time(written, "", order) == expected


@pytest.mark.parametrize("written", ["", "yesterday", "31.02.2025", "13/13/2025", "2025-00-10", "1812-05-03"])
def test_what_is_no_date_is_refused_in_words(written: str):
    with pytest.raises(Refused, match="Date"):
        read_day_and_time(written, "", "day first")


def test_an_order_that_was_not_said_is_asked_about_and_never_guessed():
    with pytest.raises(Refused, match="day or the month"):
        read_day_and_time("03.05.2025", "", "year first")


RULES = RowRules({"date": 0, "speed": 1, "air": 2, "speed_how": 3}, {"speed": "mph", "air": "°C"}, "year first")


def test_bare_numbers_are_in_the_unit_of_the_column_and_a_unit_in_the_cell_counts():
    # 1 mph is 1.609344 km/h: international mile of 1959, exactly 1609.344 m.
    assert read_row(("2025-05-03", "50", "68 °F", "Log"), RULES) == PastRow(
        date(2025, 5, 3),
        None,
        {"speed_how": "log"},
        {"speed": pytest.approx(80.4672), "air": pytest.approx(20)},
        "50 mph",
    )
    assert read_row(("2025-05-03", "80 km/h", "", ""), RULES).measures["speed"] == pytest.approx(80)


def test_everything_that_is_wrong_with_a_row_is_said_at_once():
    with pytest.raises(Refused) as refused:
        read_row(("someday", "fast", "5000", "by ear"), RULES)
    assert all(word in str(refused.value) for word in ("Date", "Speed", "Air", "by ear"))


def test_a_table_wider_than_can_be_kept_is_refused_not_cut():
    with pytest.raises(UnreadableTable, match="101 columns"):
        read_table((";".join(["c"] * 101) + "\n" + ";".join(["1"] * 101)).encode())


def test_a_quote_mark_that_is_never_closed_is_told_in_words():
    with pytest.raises(UnreadableTable, match="quote mark"):
        read_table(('Date;Boat\n"' + "x" * 200_000).encode())
