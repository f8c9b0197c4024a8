"""What one kind of thing says of itself, so that its simple pages (list, form, page, retiring) are made from that."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from garage.fields.definition import Field, FormData
from garage.fields.table import FieldTable
from garage.photos.tables import Attachment
from garage.shelf.fields import LENT_FIELDS, PRICE
from garage.shelf.tables import LENDABLE
from garage.web.desk import Desk
from garage.web.fields import Reader


@dataclass(frozen=True)
class Words:
    """How the pages of a collection speak.

    `about` stands over the list; `begin` and `begin_with` stand in an empty one. `stays` says on the page that asks
    about retiring what stays as it is. `gone` is what one out of use is, `retire` and `bring_back` are the ways there
    and back, and `keep` leads on from the page that asks. A phone says the names of the columns in `said` before what
    stands in them: a bare yes, or a unit alone, tells nothing.
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
    keep: str = "Keep in use"
    back: str = "back in use"
    said: tuple[str, ...] = ()

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


def _name(row: Any) -> str:
    return str(row.name)


def _no_values(_desk: Desk) -> dict[str, str]:
    return {}


def _nothing_more(_session: Session, _row: Any) -> None:
    """Nothing but the row itself."""


@dataclass(frozen=True)
class Collection:
    """One kind of thing with its simple pages. A row has `id`, `name`, `retired_on`, `created_at` and the columns of
    its lists.

    - `url` is where the list stands; `key` is the field that no two share, `columns` are those the list shows with it.
    - `fields` are asked for in the form, `retirement` when a thing is retired (at once, where it asks for nothing);
      the table has the columns of both.
    - `came` is the field with the day from which there is such a thing: its end cannot be before.
    - `called` is what a row is called where its end is told; `order` are the columns by which a list goes.
    - `cautions` are keys of the usual cautions, `last_cautions` of those for a thing that goes.
    - `mind` puts messages beside fields that do not go together; it does not raise. `suggest` gives a new form texts.
    - `begin` writes what else there is to a new row; `form` is the page of its form.
    - `taken` says that the key of a row is taken; `added` says where a new row leads, if not to its own page.
    - `template` is the page of one thing, and `beside` what else it shows of a row with its receipts; without
    `has_page` its form is all there is of it, at the thing's own address.
    """

    table: type[FieldTable]
    url: str
    words: Words
    fields: tuple[Field, ...]
    retirement: tuple[Field, ...]
    key: str = "name"
    columns: tuple[str, ...] = ()
    came: str = ""
    called: Callable[[Any], str] = _name
    order: tuple[Any, ...] = ()
    cautions: tuple[str, ...] = ()
    last_cautions: tuple[str, ...] = ()
    mind: Callable[[Reader, FormData], None] = _nothing
    suggest: Callable[[Desk], dict[str, str]] = _no_values
    begin: Callable[[Session, Any], None] = _nothing_more
    taken: Callable[[Any], str] | None = None
    added: Callable[[Any], tuple[str, str]] | None = None
    form: str = "inventory/edit.html"
    template: str = "inventory/thing.html"
    beside: Callable[[Session, Any, Sequence[Attachment]], Any] | None = None
    has_page: bool = True

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
    def asks_price(self) -> bool:
        """Whether its form asks what a thing cost, and for the receipt."""
        return PRICE in self.fields

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

    def home(self, row_id: int) -> str:
        """Where one stands who is done with a thing: its page, or else the list."""
        return f"{self.url}/{row_id}" if self.has_page else self.url

    def form_address(self, row_id: int | str) -> str:
        """Where the form of a thing is."""
        return f"{self.url}/{row_id}/edit" if self.has_page else f"{self.url}/{row_id}"

    def words_for_taken(self, row: Any) -> str:
        """That another row bears the key that was typed."""
        return self.taken(row) if self.taken else f"There is {self.words.a} called {row.name} already."

    def after_adding(self, row: Any) -> tuple[str, str]:
        """Where a new row leads, and what is said there."""
        return self.added(row) if self.added else (self.home(row.id), f"{self.called(row)} is in the notebook.")
