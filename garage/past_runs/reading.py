"""A spreadsheet saved as CSV, whatever its separator and letters; pure."""

import csv
import io
from collections import Counter
from dataclasses import dataclass

MOST_BYTES = 5_000_000
MOST_ROWS = 2000
MOST_COLUMNS = 100
_SEPARATORS = (";", "\t", ",", "|")


class UnreadableTable(ValueError):
    """A file that is no table; its text says why, in words for the page."""


@dataclass(frozen=True)
class SheetOfRows:
    """The first line as headings, and the lines below that are not empty with their number in the file."""

    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def read_table(content: bytes) -> SheetOfRows:
    """The table in a CSV file. Raises UnreadableTable in words."""
    text = _text(content)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text)))
    except csv.Error as error:
        words = "a cell goes on without end: a quote mark is not closed" if "limit" in str(error) else str(error)
        raise UnreadableTable(f"The table could not be read ({words}).") from error
    numbered = [(number, [cell.strip() for cell in line]) for number, line in enumerate(lines, 1)]
    filled = [(number, line) for number, line in numbered if any(line)]
    if len(filled) < 2:
        raise UnreadableTable("There is no table in it: a line of headings and at least one line below are needed.")
    headings = filled[0][1]
    if len(headings) > MOST_COLUMNS:
        raise UnreadableTable(f"There are {len(headings)} columns in it; {MOST_COLUMNS} are the most that fit here.")
    if len(headings) < 2:
        raise UnreadableTable("There is only one column in it; save the spreadsheet as CSV with separators.")
    if len(filled) - 1 > MOST_ROWS:
        raise UnreadableTable(
            f"There are {len(filled) - 1} rows in it; {MOST_ROWS} are taken in at once. Cut it in pieces."
        )
    width = len(headings)
    rows = tuple((number, tuple((line + [""] * width)[:width])) for number, line in filled[1:])
    return SheetOfRows(tuple(heading[:120] for heading in headings), rows)


def _text(content: bytes) -> str:
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encoding = "utf-16"
    elif b"\x00" in content or content[:4] == b"PK\x03\x04":
        raise UnreadableTable("This is not a CSV file. In the spreadsheet program, save the sheet as CSV.")
    else:
        encoding = "utf-8-sig"
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    if any(ord(sign) < 32 and sign not in "\r\n\t" for sign in text):
        raise UnreadableTable("This is not a CSV file. In the spreadsheet program, save the sheet as CSV.")
    return text


def _separator(text: str) -> str:
    """The separator that cuts the first lines into the same number of cells, more than one."""
    lines = [line for line in text.splitlines() if line.strip()][:20]
    best, most = ",", 0
    for separator in _SEPARATORS:
        counts = Counter(len(next(csv.reader([line], delimiter=separator), [])) for line in lines)
        cells, times = counts.most_common(1)[0] if counts else (1, 0)
        if cells > 1 and times * min(cells, 10) > most:
            best, most = separator, times * min(cells, 10)
    return best
