"""The rooms behind the addresses: the pages of a room are imported when one of their addresses is first asked for.

Which addresses may be a room's is told by shapes, a text of words separated by blanks: `/hulls/#/edit` is that address
for any number, `*` stands for any one word, `...` at the end for whatever follows. A shape may promise too much, which
only imports the room for nothing; one that promises too little would hide a page. Representations (`.json`, `.csv`)
need no shape of their own.
"""

import re
from collections.abc import Mapping
from threading import Lock

from fastapi import FastAPI
from fastapi.concurrency import run_in_threadpool
from starlette.routing import BaseRoute
from starlette.types import ASGIApp, Receive, Scope, Send

from garage.loading import loaded

_ENDING = re.compile(r"\.(json|csv)$")


class Rooms:
    """The rooms of an app, module of pages by shapes, in the order in which addresses are looked up."""

    def __init__(self, app: FastAPI, shapes: Mapping[str, str]) -> None:
        self._app = app
        self._waiting = {module: _read(text) for module, text in shapes.items()}
        self._routes: dict[str, list[BaseRoute]] = {module: [] for module in shapes}
        self._lock = Lock()

    def waiting_at(self, path: str) -> list[str]:
        """The modules not yet imported that may have an answer at `path`."""
        words = _words(_ENDING.sub("", path))
        waiting = list(self._waiting.items())
        return [module for module, shapes in waiting if any(_fits(shape, words) for shape in shapes)]

    def open(self, modules: list[str]) -> None:
        """Import `modules` and put their routes in their place among those of the app; each once."""
        with self._lock:
            for module in modules:
                if module in self._waiting:
                    self._put(module, loaded(f"garage.{module}:pages").routes())

    def open_all(self) -> None:
        """Import every room, for whoever looks at all of `app.routes`."""
        self.open(list(self._waiting))

    def _put(self, module: str, routes: list[BaseRoute]) -> None:
        known = list(self._routes)
        place = sum(len(self._routes[before]) for before in known[: known.index(module)])
        there = self._app.router.routes
        # A list of its own each time: another thread may be looking through the one there is.
        self._app.router.routes = [*there[:place], *routes, *there[place:]]
        self._routes[module] = routes
        # Only now, or a request beside this one would look for a route that is not there yet.
        del self._waiting[module]


class OpensRooms:
    """Middleware: what may answer a request is imported before its route is looked up."""

    def __init__(self, app: ASGIApp, rooms: Rooms) -> None:
        self._app = app
        self._rooms = rooms

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http" and (modules := self._rooms.waiting_at(scope["path"])):
            await run_in_threadpool(self._rooms.open, modules)
        await self._app(scope, receive, send)


def load_all(app: FastAPI) -> None:
    """Import every room of `app`: from then on `app.routes` holds them all."""
    app.state.rooms.open_all()


def _words(path: str) -> list[str]:
    return path.strip("/").split("/")


def _read(text: str) -> list[list[str]]:
    return [_words(shape) for shape in text.split()]


def _fits(shape: list[str], words: list[str]) -> bool:
    if shape[-1] == "...":
        shape = shape[:-1]
        words = words[: len(shape)]
    return len(shape) == len(words) and all(map(_is, shape, words))


def _is(told: str, word: str) -> bool:
    return told in (word, "*") or (told == "#" and word.isdigit())
