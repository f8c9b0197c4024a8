"""What one kind of thing says of itself, so that its simple pages (list, form, page, retiring) are made from that."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from garage.fields.definition import Field, FormData
from garage.fields.showing import Fact
from garage.fields.table import FieldTable
from garage.web.fields import Reader


@dataclass(frozen=True)
class Words:
    """How the pages of a collection speak.

    `about` stands under the heading of the list; `begin` and `begin_with` stand in an empty one. `stays` says on the
    page that asks about retiring what stays as it is.
    """

    one: str
    many: str
    about: str
    begin: str
    begin_with: str
    stays: str

    @property
    def a(self) -> str:
        """One of them, with its article."""
        return f"{'an' if self.one[0] in 'aeiou' else 'a'} {self.one}"


def _nothing(_reader: Reader, _form: FormData) -> None:
    """No rule between fields."""


def _no_facts(_row: Any) -> list[Fact]:
    return []


def _no_standing(_row: Any, _today: str) -> str:
    return ""


@dataclass(frozen=True)
class Collection:
    """One kind of thing with its simple pages. A row has `id`, `name`, `created_at` and the columns of its lists.

    - `url` is where the list stands; `columns` are the fields that it shows beside the name.
    - `fields` are asked for in the form, `retirement` when a thing is retired; the table has the columns of both.
    - `cautions` are keys of the usual cautions.
    - `mind` puts messages beside fields that do not go together; it does not raise.
    - `facts` tells what is made of several fields, `standing` in a few words what the day of today makes of a row.
    """

    table: type[FieldTable]
    url: str
    words: Words
    fields: tuple[Field, ...]
    retirement: tuple[Field, ...]
    columns: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    mind: Callable[[Reader, FormData], None] = _nothing
    facts: Callable[[Any], list[Fact]] = _no_facts
    standing: Callable[[Any, str], str] = _no_standing

    @property
    def all_fields(self) -> tuple[Field, ...]:
        """Everything that is kept of a row."""
        return (*self.fields, *self.retirement)

    @property
    def shown(self) -> tuple[Field, ...]:
        """The fields of the list's columns, in their order."""
        by_name = {field.name: field for field in self.fields}
        return tuple(by_name[name] for name in self.columns)
