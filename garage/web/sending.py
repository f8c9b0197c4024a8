"""What is answered to a form that was sent before: what it wrote then, and nothing is written again."""

from collections.abc import Sequence

from fastapi import Request, Response
from fastapi.responses import RedirectResponse

from garage.db.engine import reading
from garage.db.sent import Sent, sendings
from garage.db.tables import SentForm
from garage.errors import Conflict
from garage.web.desk import Typed
from garage.web.notices import Notice, set_notice

# Tells the page's script which form is held now, so that what it kept of it may go.
HELD_COOKIE, _HELD_STAYS_S = "garage_held", 300


class AnotherSending(Conflict):
    """The same form wrote something else before: whether both are meant is for the person to say."""


def say_held(response: Response, number: str) -> None:
    """Tell the browser that the form of this number is written down; nothing for one that carries no number."""
    if number:
        response.set_cookie(HELD_COOKIE, number, max_age=_HELD_STAYS_S, samesite="strict")


def sent_as(request: Request, typed: Typed) -> Sent | None:
    """How this form was sent; None for one that carries no number."""
    if not typed.number:
        return None
    url = request.url
    return Sent(typed.number, url.path, typed.digest(f"{url.path}?{url.query}"))


def sent_before(request: Request, sent: Sent | None) -> list[SentForm]:
    """All that this form wrote before, whatever stood in it; nothing for one that carries no number."""
    if sent is None:
        return []
    with reading(request.app.state.engine) as session:
        return sendings(session, sent.number)


def answer_as_before(request: Request, sent: Sent | None, before: Sequence[SentForm], is_page: bool) -> Response | None:
    """The way to what this very form wrote when it was sent before; None if it never did.

    `is_page` tells that an empty form is to be had at the address that it was sent to.
    """
    row = next((row for row in before if sent and row.typed == sent.typed), None)
    if row is None:
        return None
    response = RedirectResponse(row.url, status_code=303)
    another = row.path if is_page and not request.url.query else ""
    set_notice(response, Notice(_words(row), row.undo, another))
    say_held(response, row.number)
    return response


def _words(row: SentForm) -> str:
    taken_back = ", and taken back since" if row.taken_back_at else ""
    said = row.said or "nothing was written twice."
    return f"Was written already{taken_back}: {said} For another one open a new form."


def refuse_another_sending(sent: Sent | None, before: Sequence[SentForm]) -> None:
    """Raises AnotherSending where this form wrote something else before that still stands."""
    row = next((row for row in before if sent and row.path == sent.path and row.taken_back_at is None), None)
    if row is not None:
        raise AnotherSending(
            f"This form was written already ({row.said.rstrip('.') or 'it is kept'}), with something else in it. "
            "If that is what you mean to change, edit it there; save once more to write this as well."
        )
