"""What the tables take as the migrations made them: a second word on what a list of fields says of its bounds."""

import re
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from garage.fields.definition import Field

_BETWEEN = re.compile(r"CHECK \((\w+) IS NULL OR \(typeof.*? >= (-?[\d.]+) AND \w+ <= (-?[\d.]+)\)\)")
_ONE_OF = re.compile(r"CHECK \((\w+) IN \((.*?)\)\)")


def _made(path: Path, table: str) -> str:
    with closing(sqlite3.connect(path)) as file:
        return file.execute("SELECT sql FROM sqlite_master WHERE name = ?", (table,)).fetchone()[0]


def bounds(path: Path, table: str) -> dict[str, tuple[float, float]]:
    """The least and the most of each column that has both."""
    return {column: (float(low), float(high)) for column, low, high in _BETWEEN.findall(_made(path, table))}


def choices(path: Path, table: str) -> dict[str, list[str]]:
    """What each column of a few words may be."""
    return {column: re.findall(r"'(.*?)'", words) for column, words in _ONE_OF.findall(_made(path, table))}


def asked(fields: Iterable[Field]) -> dict[str, str]:
    """The names of the fields of each section of a form."""
    found: dict[str, list[str]] = {}
    for field in fields:
        for section in field.sections:
            found.setdefault(section, []).append(field.name)
    return {section: " ".join(names) for section, names in found.items()}


def names(fields: Iterable[Field], said: str) -> str:
    """The names of the fields that say anything by one of their attributes."""
    return " ".join(field.name for field in fields if getattr(field, said))
