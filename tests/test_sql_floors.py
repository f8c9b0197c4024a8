"""Text of SQL keeps the floors as imports do: it names tables of its own room and of floors below."""

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from sqlmodel import SQLModel

import garage.schema  # noqa: F401

ROOT = Path(__file__).parent.parent
_SQL = re.compile(r"\b(?:FROM|JOIN|INTO|UPDATE|DELETE|TABLE)\b")
_NAMED = re.compile(r"\b(?:FROM|JOIN|INTO|UPDATE|TABLE|(?:INSERT|UPDATE|DELETE)(?: OF [\w, ]+)? ON)\s+\"?([a-z_]+)\b")
_JOINED = re.compile(r"\b([a-z_]+)\s+(?:AS\s+)?[a-z_]+\s+(?:LEFT\s+)?JOIN\b")
_LISTED = re.compile(r"\bFROM\s+((?:[a-z_]+(?:\s+AS\s+\w+)?\s*,\s*)+[a-z_]+)")


@cache
def floors() -> dict[str, int]:
    """How high each room stands, by the contract of the layers: the lowest are 0."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())
    [contract] = [one for one in settings["tool"]["importlinter"]["contracts"] if one["type"] == "layers"]
    return {
        room: height
        for height, rooms in enumerate(reversed(contract["layers"]))
        for room in re.split(r"\s*[|:]\s*", rooms)
    }


@cache
def room_of_tables() -> dict[str, str]:
    """The room that keeps each table."""
    return {
        mapper.local_table.name: mapper.class_.__module__.split(".")[1]
        for mapper in SQLModel._sa_registry.mappers
        if mapper.class_.__module__.startswith("garage.")
    }


def texts(source: str) -> Iterator[tuple[int, str]]:
    """Every text of a module that has a word of SQL in it, with its line; what an f-text puts in is left out."""
    if not _SQL.search(source):
        return
    tree = ast.parse(source)
    within = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
            yield node.lineno, "".join(parts)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in within:
            yield node.lineno, node.value


def tables_named(text: str) -> set[str]:
    """The names that stand in a text of SQL where a table does."""
    listed = (name.split()[0] for names in _LISTED.findall(text) for name in names.split(","))
    return {*_NAMED.findall(text), *_JOINED.findall(text), *(name for name in listed)}


@cache
def named_in(source: str) -> tuple[tuple[int, str], ...]:
    """Line and table of every text in `source` that names one of ours."""
    return tuple(
        (line, table) for line, text in texts(source) for table in sorted(tables_named(text) & room_of_tables().keys())
    )


def wrongly_named(room: str, source: str) -> list[tuple[int, str]]:
    """Line and table of every text in `source` that names a table of a floor above, or of a room beside."""
    heights, homes = floors(), room_of_tables()
    return [
        (line, table)
        for line, table in named_in(source)
        if homes[table] != room and heights[homes[table]] >= heights[room]
    ]


def test_no_text_of_sql_names_a_table_of_a_floor_above():
    found = [
        f"{path.relative_to(ROOT)}:{line} {table}"
        for path in sorted((ROOT / "garage").rglob("*.py"))
        for room in [path.relative_to(ROOT / "garage").parts[0].removesuffix(".py")]
        for line, table in wrongly_named(room, path.read_text())
    ]
    assert found == []


def test_most_tables_are_named_in_some_text_so_that_the_search_is_known_to_find_them():
    named = {table for path in (ROOT / "garage").rglob("*.py") for _, table in named_in(path.read_text())}
    assert len(named) > 20


@pytest.mark.parametrize(
    "source",
    [
        'text("SELECT 1 FROM run WHERE id = 1")',
        'text("SELECT 1 FROM build_state AS later"\n     " JOIN run ON run.state_id = later.id")',
        'f"UPDATE run SET {column} = 1"',
        'f"DELETE FROM run WHERE {test}"',
        '"INSERT INTO run VALUES (1)"',
        '"SELECT 1 FROM change, run"',
        '"run t JOIN hull h ON h.id = t.hull_id"',
        '"CREATE TRIGGER one AFTER UPDATE ON run BEGIN SELECT 1; END"',
    ],
)
def test_a_table_of_a_floor_above_is_found_in_every_way_to_name_it(source):
    assert [table for _, table in wrongly_named("states", source)] == ["run"]
    assert wrongly_named("runs", source) == wrongly_named("search", source) == []


def test_a_table_of_a_room_beside_is_found_too():
    assert wrongly_named("props", '"SELECT 1 FROM pack"') == [(1, "pack")]
