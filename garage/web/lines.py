"""A list as a table of lines: one line a row at the desk, the same lines as cards on a phone.

What is true of a column is said once, in its heading: its classes (`n` a number, `v` the first thing, large on a phone,
`w` words, which come last), what a phone says before it (`data-label`) and the unit behind a bare number (`data-u`).
Here it is put on the cells that hold something. A browser may forget that a table is one where its rows are laid out as
cards, so each part also says what it is.
"""

import re

from markupsafe import Markup

_CELL = re.compile(r"<(td|th)\b([^>]*)>(.*?)</\1>", re.DOTALL)
_ROW = re.compile(r"<tr\b([^>]*)>(.*?)</tr>", re.DOTALL)
_CLASS = re.compile(r'\s*class="([^"]*)"')
_SAID = re.compile(r'\s*data-(?:label|u)="[^"]*"')
# The unit behind a number of things, of which there may be one.
_ONE = re.compile(r'data-u="(run|corner|discharge|sample|blade)s"')
_TAG = re.compile(r"<[^>]*>")
_FIRST = "v"
# A name of more letters than these may take a second line rather than push the others off the page.
_LONG = 32


def as_lines(table: str, label: str, css: str = "") -> Markup:
    """The table whose caption, head and body are `table`; every row has the cells that its head has."""
    head, middle, body = str(table).partition("</thead>")
    columns = [_Column(match[2]) for match in _CELL.finditer(head)]
    if columns and not any(_FIRST in column.classes for column in columns):
        columns[0].classes.insert(0, _FIRST)
    made = _ROW.sub(lambda row: _head_row(row, columns), head) + middle + _ROW.sub(lambda row: _row(row, columns), body)
    classes = " ".join(["lines", *css.split()])
    return Markup('<table class="{}" role="table" aria-label="{}">{}</table>').format(classes, label, Markup(made))


class _Column:
    """What the heading of a column says of it."""

    def __init__(self, attributes: str) -> None:
        found = _CLASS.search(attributes)
        self.classes = found[1].split() if found else []
        self.said = "".join(_SAID.findall(attributes))


def _head_row(row: re.Match[str], columns: list[_Column]) -> str:
    headings = (_heading(match, column) for match, column in zip(_CELL.finditer(row[2]), columns, strict=True))
    return f'<tr role="row">{"".join(headings)}</tr>'


def _heading(match: re.Match[str], column: _Column) -> str:
    if not match[3]:
        return f'<td{_classes(column.classes)} role="cell"></td>'
    return f'<th{_classes(column.classes)} role="columnheader" scope="col">{match[3]}</th>'


def _row(row: re.Match[str], columns: list[_Column]) -> str:
    cells = (_cell(match, column) for match, column in zip(_CELL.finditer(row[2]), columns, strict=True))
    return f'<tr{row[1]} role="row">{"".join(cells)}</tr>'


def _cell(match: re.Match[str], column: _Column) -> str:
    name, attributes, inside = match[1], match[2], match[3].strip()
    own = _CLASS.search(attributes)
    classes = [*column.classes, *(one for one in (own[1].split() if own else []) if one not in column.classes)]
    rest = _CLASS.sub("", attributes)
    if inside and not _SAID.search(rest):
        rest += _ONE.sub(r'data-u="\1"', column.said) if inside == "1" else column.said
    if inside and "w" in classes:
        inside = f"<div>{inside}</div>"
    elif len(_TAG.sub("", inside)) > _LONG and "<select" not in inside:
        inside = f'<div class="long">{inside}</div>'
    role = ' role="rowheader" scope="row"' if name == "th" else ' role="cell"'
    return f"<{name}{_classes(classes)}{rest}{role}>{inside}</{name}>"


def _classes(classes: list[str]) -> str:
    return f' class="{" ".join(classes)}"' if classes else ""


_PART = re.compile(r"<(tr|td|th)\b")
_ROLES = {"tr": "row", "td": "cell", "th": "columnheader"}


def with_roles(table: str) -> Markup:
    """The rows and cells of a table to fill in, each saying what it is, however they are laid out."""
    head, middle, body = str(table).partition("</thead>")
    roles = _ROLES | {"th": "rowheader"}
    return Markup(
        _PART.sub(lambda part: f'{part[0]} role="{_ROLES[part[1]]}"', head)
        + middle
        + _PART.sub(lambda part: f'{part[0]} role="{roles[part[1]]}"', body)
    )
