"""What a person sees when something cannot be done: plain words, and never a traceback."""

import logging
import sqlite3
from dataclasses import dataclass

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from sqlalchemy.exc import DBAPIError, IntegrityError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from garage.errors import Conflict, GarageError, NotFound
from garage.web.templates import render

log = logging.getLogger("garage")


@dataclass(frozen=True)
class FaultSheet:
    """What happened and what can be done about it."""

    title: str
    words: str
    helps: tuple[tuple[str, str], ...] = ()


def _page(request: Request, status: int, title: str, words: str, helps: tuple[tuple[str, str], ...] = ()) -> Response:
    if request.url.path.endswith(".json"):
        return JSONResponse({"title": title, "words": words}, status_code=status)
    return render(request, "fault.html", FaultSheet(title, words, helps), status=status)


def _not_found(request: Request, error: Exception) -> Response:
    words = str(error) if isinstance(error, NotFound) and str(error) else "There is no such page in this notebook."
    return _page(request, 404, "Not found", words)


def _conflict(request: Request, error: Exception) -> Response:
    return _page(request, 409, "That does not go together", str(error), getattr(error, "helps", ()))


def _refused_by_database(request: Request, error: Exception) -> Response:
    reason = str(getattr(error, "orig", error))
    log.warning("%s %s was refused by the database: %s", request.method, request.url.path, reason)
    if isinstance(error, IntegrityError) and not reason.startswith(("CHECK", "UNIQUE", "FOREIGN", "NOT NULL")):
        return _page(request, 409, "That is already relied on", reason[:1].upper() + reason[1:] + ".")
    words = "Something already recorded stands against it. Nothing was changed."
    return _page(request, 409, "That could not be saved", words)


def _storage(request: Request, error: Exception) -> Response:
    original = getattr(error, "orig", None)
    log.error("%s %s: %s", request.method, request.url.path, original or error)
    if isinstance(original, sqlite3.OperationalError):
        return _page(
            request,
            503,
            "The notebook's file did not answer",
            f"Nothing was changed ({original}). Is the disk full, or is another program holding the file?",
        )
    return _surprise(request, error)


def _disk(request: Request, error: Exception) -> Response:
    log.error("%s %s: %s", request.method, request.url.path, error)
    words = getattr(error, "strerror", None) or str(error)
    return _page(
        request,
        503,
        "It could not be written to the disk",
        f"Nothing was changed ({words}). Make room on the disk, or see that the folder can be written to; "
        "then go back and try once more.",
    )


def _http(request: Request, error: Exception) -> Response:
    status = getattr(error, "status_code", 500)
    if status == 404:
        return _not_found(request, error)
    if status == 405:
        return _page(request, 405, "Not here", "That address takes another kind of request.")
    return _page(request, status, "That was not understood", "The form could not be read. Go back and try once more.")


def _broken_off(request: Request, error: Exception) -> Response:
    return _page(
        request, 413, "Not all of it arrived", "It was too large or the line broke. Nothing was changed; try once more."
    )


def _surprise(request: Request, error: Exception) -> Response:
    log.error("%s %s failed", request.method, request.url.path, exc_info=error)
    return _page(
        request,
        500,
        "Something went wrong here",
        "It is our fault, not yours, and nothing was half written. Go back and try once more; the log has the details.",
    )


def add_faults(app: FastAPI) -> None:
    """Register a page for everything that can go wrong."""
    app.add_exception_handler(NotFound, _not_found)
    app.add_exception_handler(Conflict, _conflict)
    app.add_exception_handler(GarageError, _conflict)
    app.add_exception_handler(RequestValidationError, _not_found)
    # SQLite cannot hold a number that large, so nothing has it for an id.
    app.add_exception_handler(OverflowError, _not_found)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(ClientDisconnect, _broken_off)
    app.add_exception_handler(IntegrityError, _refused_by_database)
    app.add_exception_handler(DBAPIError, _storage)
    app.add_exception_handler(OSError, _disk)
    app.add_exception_handler(Exception, _surprise)
