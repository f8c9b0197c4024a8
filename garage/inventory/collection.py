"""What one kind of thing says of itself, so that its simple pages (list, form, page, retiring) are made from that."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from garage.fields.definition import Field, FormData
from garage.fields.table import FieldTable
from garage.shelf.fields import LENT_FIELDS
from garage.shelf.tables import LENDABLE
from garage.web.fields import Reader


@dataclass(frozen=True)
class Words:
    """How the pages of a collection speak.

    `about` stands over the list; `begin` and `begin_with` stand in an empty one. `stays` says on the page that asks
    about retiring what stays as it is. `gone` is what one out of use is, `retire` and `bring_back` are the ways there
    and back.
    """

    one: str
    many: str
    about: str
    begin: str
    begin_with: str
    stays: str = ""
    gone: str = "retired"
    retire: str = "Retire it"
    bring_back: str = "Bring it back into use"

    @property
    def a(self) -> str:
        """One of them, with its article."""
        return f"{'an' if self.one[0] in 'aeiou' else 'a'} {self.one}"

    @property
    def all_gone(self) -> str:
        """What the list of those out of use is called."""
        return f"Retired {self.many}" if self.gone == "retired" else f"{self.many.capitalize()} {self.gone}"

    @property
    def gone_since(self) -> str:
        """What one out of use is, with the day to follow."""
        return self.gone if self.gone == "retired" else f"{self.gone} since"


def _nothing(_reader: Reader, _form: FormData) -> None:
    """No rule between fields."""


def _no_values(_session: Session) -> dict[str, str]:
    return {}


@dataclass(frozen=True)
class Collection:
    """One kind of thing with its simple pages. A row has `id`, `name`, `retired_on`, `created_at` and the columns of
    its lists.

    - `url` is where the list stands; `key` is the field that no two share, `columns` are those the list shows with it.
    - `fields` are asked for in the form, `retirement` when a thing is retired (at once, where it asks for nothing);
      the table has the columns of both.
    - `cautions` are keys of the usual cautions.
    - `mind` puts messages beside fields that do not go together; it does not raise. `suggest` gives a new form texts.
    - `taken` says that the key of a row is taken; `added` says where a new row leads, if not to its own page.
    - `template` is the page of one thing, and `beside` what else it shows of a row.
    """

    table: type[FieldTable]
    url: str
    words: Words
    fields: tuple[Field, ...]
    retirement: tuple[Field, ...]
    key: str = "name"
    columns: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    mind: Callable[[Reader, FormData], None] = _nothing
    suggest: Callable[[Session], dict[str, str]] = _no_values
    taken: Callable[[Any], str] | None = None
    added: Callable[[Any], tuple[str, str]] | None = None
    template: str = "inventory/thing.html"
    beside: Callable[[Session, Any], Any] | None = None

    @property
    def all_fields(self) -> tuple[Field, ...]:
        """Everything that is kept of a row."""
        return (*self.fields, *self.retirement)

    @property
    def owner(self) -> str:
        """What its things are called where something belongs to one of them: a picture, a loan."""
        return self.words.one

    @property
    def is_lent(self) -> bool:
        """Whether its things are lent."""
        return self.owner in LENDABLE

    @property
    def told_fields(self) -> tuple[Field, ...]:
        """Everything that a row of its list tells."""
        return (*self.all_fields, *(LENT_FIELDS if self.is_lent else ()))

    @property
    def shown(self) -> tuple[Field, ...]:
        """The fields of the list's columns in their order, the key first."""
        by_name = {field.name: field for field in self.fields}
        return tuple(by_name[name] for name in (self.key, *self.columns))

    @property
    def asks_when_retired(self) -> bool:
        """Whether retiring has a form."""
        return any(field.asked for field in self.retirement)

    def words_for_taken(self, row: Any) -> str:
        """That another row bears the key that was typed."""
        return self.taken(row) if self.taken else f"There is {self.words.a} called {row.name} already."

    def after_adding(self, row: Any) -> tuple[str, str]:
        """Where a new row leads, and what is said there."""
        return self.added(row) if self.added else (f"{self.url}/{row.id}", f"{row.name} is in the notebook.")
