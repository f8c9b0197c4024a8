"""One-time numbers of forms: each form that posts carries one of its own, put there as its template is read.

A browser sends a form once more when the line closed without an answer; by the number the second is told from a new
one. Written into every posted form by itself, so that no template can forget it.
"""

import re
import secrets
from collections.abc import Sequence
from contextvars import ContextVar

from jinja2.ext import Extension
from markupsafe import Markup

NUMBER_FIELD = "form_number"
_NUMBER = re.compile(r"[0-9a-f]{32}")
# The opening tag of a form; what stands in braces may hold the sign that ends a tag.
_FORM = re.compile(r"<form\b(?:\{\{.*?\}\}|\{%.*?%\}|[^>])*>", re.DOTALL | re.IGNORECASE)
_POSTS = re.compile(r"""\smethod=["']?post""", re.IGNORECASE)
_GOES_ELSEWHERE = re.compile(r"\saction=", re.IGNORECASE)

# The number of the form that was refused, which its page shown once more must keep; '' for a new one.
kept_number: ContextVar[str] = ContextVar("kept_number", default="")


def read_number(texts: Sequence[str]) -> str:
    """The number that a form carried; '' for anything that is not one of ours."""
    return texts[-1] if texts and _NUMBER.fullmatch(texts[-1]) else ""


def number_field() -> Markup:
    """A hidden field with a number of its own, new each time; browsers are told not to carry over an earlier one."""
    number = kept_number.get() or secrets.token_hex(16)
    return Markup('<input type="hidden" name="{}" value="{}" autocomplete="off">').format(NUMBER_FIELD, number)


class Numbered(Extension):
    """Puts the field into every form that posts, and what it showed into one that posts to its own page."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """The template with the field behind the opening tag of each such form."""
        return _FORM.sub(lambda tag: tag[0] + _fields_of(tag[0]), source)


def _fields_of(tag: str) -> str:
    if not _POSTS.search(tag):
        return ""
    return "{{ number_field() }}" + "{{ shown_field() }}" * (not _GOES_ELSEWHERE.search(tag))
