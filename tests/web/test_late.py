"""Rooms are imported when an address of theirs is first asked for, and answer as if they had always been there."""

import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path
from time import sleep

import pytest
from fastapi import FastAPI
from fastapi.responses import PlainTextResponse
from starlette.testclient import TestClient

from garage import app as house
from garage.web import late
from garage.web.late import OpensRooms, Rooms, load_all
from garage.web.pages import Pages

_VALUES = {"int": "7", "str": "word", "": "word"}
_HOUSE = Path(house.__file__).parent
_SHELVES = {"first": "/a/#", "middle": "/b", "unasked": "/c", "last": "/a/..."}
_PATHS = ["/a/{n:int}", "/b", "/c", "/a/{word}", "/a/{n:int}/last"]


def _addresses(module: str) -> list[str]:
    """Every address of a module of pages, with a value for each name in it."""
    paths = {route.path for route in import_module(f"garage.{module}").pages.routes()}
    return [re.sub(r"\{\w+:?(\w*)\}", lambda found: _VALUES[found[1]], path) for path in paths]


@pytest.fixture
def imported(monkeypatch) -> list[str]:
    """The rooms imported, in that order; importing one takes a while."""
    seen: list[str] = []

    def import_slowly(place: str) -> Pages:
        name = place.removeprefix("garage.").removesuffix(":pages")
        sleep(0.01)
        seen.append(name)
        return _pages(name)

    monkeypatch.setattr(late, "loaded", import_slowly)
    return seen


def _pages(name: str) -> Pages:
    pages = Pages()
    paths = {"first": _PATHS[:1], "middle": ["/b"], "unasked": ["/c"], "last": _PATHS[3:]}
    for path in paths[name]:
        pages._add("GET", path, lambda request: PlainTextResponse(name))
    return pages


@pytest.fixture
def app(imported) -> FastAPI:
    app = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)
    app.state.rooms = Rooms(app, _SHELVES)
    app.get("/static")(lambda: "static")
    app.add_middleware(OpensRooms, rooms=app.state.rooms)
    return app


def _routes(app: FastAPI) -> list[str]:
    return [getattr(route, "path", "") for route in app.routes]


@pytest.mark.parametrize("module", house.ROOMS)
def test_the_shapes_of_a_room_know_all_its_addresses_and_each_shape_knows_one(module):
    addresses = _addresses(module)
    rooms = Rooms(FastAPI(), {module: house.ROOMS[module]})
    assert addresses and [path for path in addresses if rooms.waiting_at(path) != [module]] == []
    for shape in house.ROOMS[module].split():
        alone = Rooms(FastAPI(), {module: shape})
        assert [path for path in addresses if alone.waiting_at(path)], shape


def test_every_module_of_pages_is_named():
    """A module with `pages` that nobody names would have addresses that answer nothing."""
    found = {
        ".".join(path.relative_to(_HOUSE).with_suffix("").parts)
        for path in _HOUSE.rglob("*.py")
        if "\npages = Pages()\n" in path.read_text()
    }
    assert found == set(house.ROOMS)


def test_whatever_is_asked_first_the_routes_stand_in_the_order_of_the_rooms(app):
    for path in ("/a/word", "/b", "/a/7"):
        app.state.rooms.open(app.state.rooms.waiting_at(path))
    assert _routes(app) == [*(path for path in _PATHS if path != "/c"), "/static"]
    load_all(app)
    assert _routes(app) == [*_PATHS, "/static"]


def test_the_first_room_that_knows_an_address_answers_also_where_a_later_one_was_imported_before(app, imported):
    client = TestClient(app)
    assert client.get("/a/word").text == "last" and imported == ["last"]
    assert client.get("/a/7").text == "first"


def test_a_room_answers_at_its_first_request_as_at_every_other(app):
    client = TestClient(app)
    for _ in range(2):
        assert client.get("/b/").text == "middle"
        assert client.post("/b").status_code == 405
        assert client.get("/a/7/last").text == "last"
        assert client.get("/static").json() == "static"


def test_an_address_of_no_room_imports_none(app, imported):
    assert TestClient(app).get("/nowhere").status_code == 404
    assert imported == []


def test_first_requests_at_once_import_a_room_once(app, imported):
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(app.state.rooms.open, [["first"]] * 8))
    assert imported == ["first"] and _routes(app) == ["/a/{n:int}", "/static"]


def test_the_program_starts_without_the_pages_of_any_room_and_what_only_they_need():
    heavy = "('pint', 'numpy', 'alembic', 'PIL', 'segno', 'fitdecode')"
    told = f"import sys, garage.serving; print([m for m in sys.modules if m.endswith('pages') or m in {heavy}])"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
