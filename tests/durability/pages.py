"""Every page of a garage as data, with the clock standing still: to be held against each other."""

import itertools
import re
import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from starlette.testclient import TestClient

from garage.paths import DATABASE_NAME
from garage.web.late import load_all

CLOCK = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
DESK = ("127.0.0.1", 50000)
# How many numbers of each address are looked at where not all are: rows and files are held against each other besides.
SOME = 1
OWNERS = ("hull", "run", "prop", "pack", "outing", "step")
# What may stand in an address that is no number.
WORDS = {"kind": ("outing", "run"), "name": ("day", "part", "packs", "swap", "start")}
_VALUE = re.compile(r"\{(\w+)(?::(?:int|str))?\}")


def addresses(app, folder: Path, ending: str, of_each: int | None) -> list[str]:
    """The addresses of all pages that end so, with `of_each` numbers spread over what is there (None: all)."""
    load_all(app)
    found = []
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        for route in app.routes:
            path = getattr(route, "path", "")
            if path.endswith(ending) and "GET" in getattr(route, "methods", ()):
                names = _VALUE.findall(path)
                choices = [_values(connection, name, of_each) for name in names]
                found += [_filled(path, values) for values in itertools.islice(itertools.product(*choices), 5000)]
    return found


def every_twin(make_app: Callable, folder: Path, of_each: int | None = 5, ending: str = ".json") -> dict[str, bytes]:
    """The data of every page that is there, by address."""
    app = make_app(folder, clock=lambda: CLOCK)
    client = TestClient(app, client=DESK)
    found = {}
    for path in addresses(app, folder, ending, of_each):
        answer = client.get(path)
        assert answer.status_code < 500, f"{path}: {answer.status_code}"
        if answer.status_code == 200:
            found[path] = answer.content
    app.state.engine.dispose()
    return found


def _values(connection: sqlite3.Connection, name: str, of_each: int | None) -> list[str]:
    if name == "owner":
        return list(OWNERS)
    if name in WORDS:
        return list(WORDS[name])
    table = name.removesuffix("_id")
    known = connection.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", (table,)).fetchone()
    if not known:
        return ["1", "2", "3"]
    ids = [str(row[0]) for row in connection.execute(f'SELECT id FROM "{table}" ORDER BY id')]
    if of_each is None or len(ids) <= of_each:
        return ids
    return [ids[place * (len(ids) - 1) // max(of_each - 1, 1)] for place in range(of_each)]


def _filled(path: str, values: tuple[str, ...]) -> str:
    for value in values:
        path = _VALUE.sub(value, path, count=1)
    return path
