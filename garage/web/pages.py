"""How a room's pages become routes: a sheet answers as page, as JSON and, for a list, as CSV; an act redirects."""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from types import MappingProxyType

from fastapi import Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.routing import BaseRoute, Route

from garage.db.engine import reading, writing
from garage.db.last_action import keep_action, watched
from garage.db.sent import Sent, SentAlready, keep_sent
from garage.db.tables import LastAction, SentForm
from garage.errors import Conflict
from garage.web.desk import Desk, Typed, read_typed, typed_in_query
from garage.web.fields import FormErrors
from garage.web.following import ChangedMeanwhile, Written, follow, mark_now
from garage.web.notices import Notice, set_notice
from garage.web.representations import csv_response, plain, representation_addresses
from garage.web.rows import DROP, MORE, without_row
from garage.web.sending import (
    AnotherSending,
    answer_as_before,
    refuse_another_sending,
    say_held,
    sent_as,
    sent_before,
)
from garage.web.shown import NOBODY, FormShown, shown, standing
from garage.web.templates import Entry, render


@dataclass(frozen=True)
class Cookie:
    """Something for the browser to keep for `max_age_s` seconds, out of reach of scripts and other sites."""

    name: str
    value: str
    max_age_s: int


@dataclass(frozen=True)
class Done:
    """Where to go after an act, what to say there, and where to post to take it back.

    Without an address of its own, the last act is taken back as it was done, where all it wrote is known;
    `back_to` is then the page to go to, if not this one.
    """

    url: str
    said: str = ""
    undo: str = ""
    back_to: str = ""
    cookies: tuple[Cookie, ...] = ()


@dataclass(frozen=True)
class Representation:
    """What stands behind an address of data, for whoever describes it: the view that gives the sheet, whether it comes
    as a table, and what may be asked behind the question mark, in words by name."""

    view: Callable
    is_table: bool
    asks: Mapping[str, str]


NOTHING_ASKED: Mapping[str, str] = MappingProxyType({})
RETIRED: Mapping[str, str] = MappingProxyType({"retired": "“yes” for those out of use instead of those in use"})
RUNS_PAGE: Mapping[str, str] = MappingProxyType({"page": "which page of its runs, from 1"})


def _engine(request: Request):
    return request.app.state.engine


class Pages:
    """The pages of one room."""

    def __init__(self) -> None:
        self._routes: list[tuple[str, str, Callable]] = []

    def routes(self) -> list[BaseRoute]:
        """The routes of this room, for an app to look its addresses up in."""
        # Path values are converted by the path itself, and our forms answer their own errors: the framework's
        # analysis of four hundred signatures would only cost a quarter of a second at each start.
        return [Route(path, endpoint, methods=[method]) for method, path, endpoint in self._routes]

    def _add(self, method: str, path: str, endpoint: Callable) -> None:
        self._routes.append((method, path, endpoint))

    def sheet(
        self,
        path: str,
        template: str,
        *,
        is_list: bool = False,
        representation: str = "",
        asks: Mapping[str, str] = NOTHING_ASKED,
    ) -> Callable:
        """A page at `path` whose view returns a frozen sheet. `representation` overrides the address before `.json`.

        `asks` says what may stand behind the question mark, in words by name; the page of a list needs no word.
        A sheet whose `opens` names an address leads on to it. One that tells what is `wrong` with what stands behind
        the question mark, by name, has it beside the fields, with what was typed in them.
        """

        def decorate(view: Callable) -> Callable:
            def page(request: Request) -> Response:
                mark = mark_now(request)
                with reading(_engine(request)) as session:
                    path, query = request.url.path, request.url.query
                    representations = representation_addresses(path, representation, query, is_list)
                    desk = Desk(request, session)
                    sheet = view(desk, **request.path_params)
                    if onwards := getattr(sheet, "opens", ""):
                        return RedirectResponse(onwards, status_code=303)
                    kept = _shown(view, mark, sheet)
                    entry = _wrong_in_query(request, sheet)
                    return render(request, template, sheet, entry, representations=representations, shown=kept)

            def as_json(request: Request) -> Response:
                with reading(_engine(request)) as session:
                    return JSONResponse(plain(view(Desk(request, session), **request.path_params)))

            def as_csv(request: Request) -> Response:
                with reading(_engine(request)) as session:
                    return csv_response(view(Desk(request, session, wants_all=True), **request.path_params))

            as_json.represents = Representation(view, False, asks)  # type: ignore[attr-defined]
            as_csv.represents = Representation(view, True, asks)  # type: ignore[attr-defined]
            # Data first: a word at the end of a page's address would take the ending for part of it.
            self._add("GET", (representation or path) + ".json", as_json)
            if is_list:
                self._add("GET", (representation or path) + ".csv", as_csv)
            self._add("GET", path, page)
            view.template, view.path = template, path  # type: ignore[attr-defined]
            return view

        return decorate

    def fragment(self, path: str, template: str) -> Callable:
        """A piece of a page at an address of its own: no representation, no frame."""

        def decorate(view: Callable) -> Callable:
            def piece(request: Request) -> Response:
                with reading(_engine(request)) as session:
                    return render(request, template, view(Desk(request, session), **request.path_params))

            self._add("GET", path, piece)
            return view

        return decorate

    def response(self, path: str) -> Callable:
        """A route whose view answers with a Response of its own (a file, say)."""

        def decorate(view: Callable) -> Callable:
            def answer(request: Request) -> Response:
                with reading(_engine(request)) as session:
                    return view(Desk(request, session), **request.path_params)

            self._add("GET", path, answer)
            return view

        return decorate

    def action(self, path: str, on_error: Callable | None = None, *, edits: bool = False) -> Callable:
        """A posted form. The view returns where to go (an address or Done); all it wrote is kept first.

        When a field is wrong, the page of `on_error` is shown with what was typed and status 422. `edits` tells that
        this form changes what is there: what was left in it as `on_error` showed it is not written again, and where
        somebody else changed a field meanwhile, the person is asked.
        """

        if on_error is not None and edits:
            on_error.is_edit_form = True  # type: ignore[attr-defined]
        is_page = getattr(on_error, "path", "") == path

        def decorate(view: Callable) -> Callable:
            def perform(request: Request, typed: Typed) -> Response:
                if on_error is not None and (MORE in typed or DROP in typed):
                    return _once_more(request, on_error, typed.only(without_row(typed)))
                sent = sent_as(request, typed)
                before = sent_before(request, sent)
                if answer := answer_as_before(request, sent, before, is_page):
                    return answer
                try:
                    if on_error is not None:
                        refuse_another_sending(sent, before)
                    written: Written = request.app.state.written
                    with writing(_engine(request)) as session:
                        desk = Desk(request, session, typed)
                        if on_error is not None and edits:
                            desk = follow(desk, on_error, _values_of(on_error, request))
                        done, undo, action_id = _performed(desk, view, sent)
                        written.begin(action_id)
                    written.end(action_id)
                except (FormErrors, Conflict, SentAlready) as error:
                    # An equal form that came in at the same time may have been the quicker one.
                    if answer := answer_as_before(request, sent, sent_before(request, sent), is_page):
                        return answer
                    if on_error is None:
                        raise _in_words(error) from error
                    return _once_more(request, on_error, typed, error)
                return _answer(done, undo, typed.number)

            async def read_and_perform(request: Request) -> Response:
                typed = (await read_typed(request)).answered()
                return await run_in_threadpool(perform, request, typed)

            self._add("POST", path, read_and_perform)
            return view

        return decorate


def _wrong_in_query(request: Request, sheet: object) -> Entry | None:
    wrong = getattr(sheet, "wrong", None)
    return Entry(typed_in_query(request), wrong) if wrong else None


def _answer(done: Done, undo: str, number: str) -> Response:
    response = RedirectResponse(done.url, status_code=303)
    say_held(response, number)
    if done.said:
        set_notice(response, Notice(done.said, undo))
    for cookie in done.cookies:
        response.set_cookie(cookie.name, cookie.value, max_age=cookie.max_age_s, httponly=True, samesite="strict")
    return response


def _performed(desk: Desk, view: Callable, sent: Sent | None) -> tuple[Done, str, int]:
    """What a view said it did, the address that takes it back, if any does, and the number of the action; 0 where
    nothing was written."""
    with watched(desk.session) as seen:
        outcome = view(desk, **desk.request.path_params)
        desk.session.flush()
    done = outcome if isinstance(outcome, Done) else Done(outcome)
    # What a form for something new made is gone once it is taken back: its list is the place to go then.
    path = desk.request.url.path
    back_to = done.back_to or (path.removesuffix("/new") if path.endswith("/new") else done.url)
    action = LastAction(
        said=done.said[:500], back_to=back_to, changes="", at=desk.moment.utc,
        path=path, who=desk.who, number=desk.typed.number,
    )  # fmt: skip
    act_id = keep_action(desk.session, seen, action)
    undo = done.undo or (f"/undo/{act_id}" if act_id else "")
    if sent is not None:
        row = SentForm(
            **asdict(sent), url=done.url, said=done.said, undo=undo, act_id=act_id, at=desk.moment.utc
        )  # fmt: skip
        keep_sent(desk.session, seen, row)
    return done, undo, action.id or 0


def _in_words(error: Exception) -> Exception:
    if not isinstance(error, FormErrors):
        return error
    return Conflict(" ".join([*error.errors.values(), *(asked.words for asked in error.questions.values())]))


def _once_more(request: Request, on_error: Callable, typed: Typed, error: Exception | None = None) -> Response:
    """The page with what was typed and what is wrong with it; without an error the form is only to look otherwise."""
    errors = {} if error is None else error.errors if isinstance(error, FormErrors) else {"": str(error)}
    # A refused form keeps its number; what is to be written beside what it wrote already needs a new one.
    number = "" if isinstance(error, AnotherSending) else typed.number
    template: str = on_error.template  # type: ignore[attr-defined]
    if isinstance(error, ChangedMeanwhile):
        typed, meanwhile = error.typed, error.meanwhile
    else:
        meanwhile = NOBODY
    mark = mark_now(request)
    with reading(request.app.state.engine) as session:
        desk = Desk(request, session, typed)
        sheet = on_error(desk, **_values_of(on_error, request))
        questions = error.questions if isinstance(error, FormErrors) else {}
        helps = getattr(error, "helps", ())
        entry = Entry(typed, errors, meanwhile=meanwhile, helps=helps, questions=questions)
        # A form that was refused still shows what it did, unless it was told what stands there now.
        kept = typed.shown or _shown(on_error, mark, sheet)
        status = 422 if errors or questions else 200
        return render(request, template, sheet, entry, status=status, number=number, shown=kept, units=desk.units)


def _shown(view: Callable, mark: str, sheet: object) -> FormShown | None:
    """What the form on the page of `view` shows, where it is one that changes what is there."""
    return shown(mark, standing(sheet)) if getattr(view, "is_edit_form", False) else None


def _values_of(view: Callable, request: Request) -> dict[str, object]:
    """The values in the address that `view` takes: it may take fewer than the act."""
    return {name: request.path_params[name] for name in list(inspect.signature(view).parameters)[1:]}
