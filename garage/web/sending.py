"""What is answered to a form that was sent before: what it wrote then, and nothing is written again."""

from fastapi import Request, Response
from fastapi.responses import RedirectResponse

from garage.db.engine import reading
from garage.db.sent import Sent, written_before, written_otherwise
from garage.db.tables import SentForm
from garage.errors import Conflict
from garage.web.desk import Typed
from garage.web.notices import Notice, set_notice


class AnotherSending(Conflict):
    """The same form wrote something else before: whether both are meant is for the person to say."""


def sent_as(request: Request, typed: Typed) -> Sent | None:
    """How this form was sent; None for one that carries no number."""
    if not typed.number:
        return None
    url = request.url
    return Sent(typed.number, url.path, typed.digest(f"{url.path}?{url.query}"))


def answered_before(request: Request, sent: Sent | None, is_page: bool) -> Response | None:
    """The way to what this very form wrote when it was sent before; None if it never did.

    `is_page` tells that an empty form is to be had at the address that it was sent to.
    """
    if sent is None:
        return None
    with reading(request.app.state.engine) as session:
        row = written_before(session, sent)
        if row is None:
            return None
        response = RedirectResponse(row.url, status_code=303)
        another = sent.path if is_page and not request.url.query else ""
        set_notice(response, Notice(_words(row), row.undo, another))
        return response


def _words(row: SentForm) -> str:
    taken_back = ", and taken back since" if row.taken_back_at else ""
    said = row.said or "nothing was written twice."
    return f"Was written already{taken_back}: {said} For another one open a new form."


def refuse_another_sending(request: Request, sent: Sent | None) -> None:
    """Raises AnotherSending where this form wrote something else before that still stands."""
    if sent is None:
        return
    with reading(request.app.state.engine) as session:
        row = written_otherwise(session, sent)
    if row is not None:
        raise AnotherSending(
            f"This form was written already ({row.said.rstrip('.') or 'it is kept'}), with something else in it. "
            "If that is what you mean to change, edit it there; save once more to write this as well."
        )
