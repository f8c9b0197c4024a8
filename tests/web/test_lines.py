"""A list as lines: what a column says of its cells, and that it stays a table however it is laid out."""

import re

import pytest
from markupsafe import Markup

from garage.web.lines import as_lines, with_roles

HEAD = (
    '<thead><tr><th class="n v" data-u="km/h">km/h</th><th data-label="pack">Pack</th>'
    '<th class="w">Words</th></tr></thead>'
)


def _cells(rows: str) -> list[str]:
    return re.findall(r"<td.*?</td>", as_lines(Markup(f"{HEAD}<tbody>{rows}</tbody>"), "Runs"))


def test_a_cell_says_what_its_heading_does():
    assert _cells("<tr><td>58.9</td><td>A</td><td>dry</td></tr>") == [
        '<td class="n v" data-u="km/h" role="cell">58.9</td>',
        '<td data-label="pack" role="cell">A</td>',
        '<td class="w" role="cell"><div>dry</div></td>',
    ]


def test_an_empty_cell_keeps_its_place_and_says_nothing():
    assert _cells("<tr><td>58.9</td><td> \n </td><td></td></tr>")[1:] == [
        '<td role="cell"></td>',
        '<td class="w" role="cell"></td>',
    ]


def test_a_cell_may_say_its_own_unit():
    assert _cells('<tr><td data-u="">no speed</td><td></td><td></td></tr>')[0].startswith(
        '<td class="n v" data-u="" role'
    )


def test_headings_stay_linked_and_the_first_column_is_the_large_one_if_none_is_said_to_be():
    head = Markup("<thead><tr><th>Code</th><td></td></tr></thead><tbody></tbody>")
    table = as_lines(head, 'Packs "in use"')
    assert table.startswith('<table class="lines" role="table" aria-label="Packs &#34;in use&#34;">')
    assert '<th class="v" role="columnheader" scope="col">Code</th><td role="cell"></td>' in table


def test_a_row_that_lacks_a_cell_is_a_fault():
    with pytest.raises(ValueError, match="zip"):
        _cells("<tr><td>58.9</td><td>A</td></tr>")


def test_a_table_to_fill_in_says_what_its_parts_are():
    table = with_roles("<thead><tr><th>Run</th></tr></thead><tbody><tr><th>1</th><td>x</td></tr></tbody>")
    assert re.findall(r'role="(\w+)"', table) == ["row", "columnheader", "row", "rowheader", "cell"]
