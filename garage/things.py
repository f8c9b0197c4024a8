"""The things of the notebook, each kind said once by the room that keeps it: what it is called, where its page is.

Low rooms attach something to things of any room, search finds all of them and the bin brings them back; none of these
may import the rooms above. So each room describes its own kinds here as data, `garage.schema` puts them together, and
whoever needs them is handed the whole as an argument (`desk.things` in a page).
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.errors import NotFound
from garage.fields.definition import OWN_VALUES, Field

# As an address: the page of what a row is attached to, by its columns `owner` and `owner_id`.
OF_OWNER = "page of its owner"
# Within a title: what the thing is called that lies on the shelf, by the columns `owner` and `owner_id`.
SHELVED = "<shelved thing>"


@dataclass(frozen=True)
class Found:
    """How search knows a kind. `kind` and `heading` are its words there, `number` its span of rows in the full-text
    table and for good; `title` and `body` are SQL over a row called {row}; `code` is a column whose content, typed
    as it is, leads straight there."""

    kind: str
    number: int
    heading: str
    title: str
    body: str
    code: str = ""


@dataclass(frozen=True)
class Binned:
    """How the bin names a kind that can be set aside, and the address that brings it back; SQL over `t`. Only rows
    for which `only` holds come back by themselves."""

    kind: str
    name: str
    url: str
    back: str
    only: str = "1"


@dataclass(frozen=True)
class TakesFields:
    """How things of a kind take fields that a person adds. `thing` is their name there and `title` that of all of them;
    `labels` are taken, as `names` are, of built-in fields that stand beside the own ones. `values` is SQL for what was
    ever written into the own field :number, by `value` and its `owner`, and `standing` for what of it was not taken
    back, where that can be less; `note` tells on the page of a new field how it is filled in, where that is not by the
    thing's own form."""

    thing: str
    title: str
    labels: tuple[str, ...]
    values: str
    note: str = ""
    standing: str = ""
    names: tuple[str, ...] = ()


def takes_fields(
    thing: str, title: str, fields: Iterable[Field], table: str, beside: Iterable[str] = ()
) -> TakesFields:
    """The same for things whose table keeps what stands in own fields beside the columns of its list; `beside` are
    labels in their forms that no list has."""
    value = f"json_extract({OWN_VALUES}, '$.\"' || :number || '\"')"
    labels = (*(field.label for field in fields), *beside)
    return TakesFields(thing, title, labels, f"SELECT {value} AS value, id AS owner FROM {table}")


@dataclass(frozen=True)
class Kind:
    """One kind of thing: SQL over its row `t` and over what is joined to it.

    `called` is its name within a sentence and `title` as a heading; `url` is its own page and `shown_at` the place
    where it stands if that is another page. Something can be attached to a kind with `called`; of these, rows for
    which `in_use` holds are offered. `shelved` is its name on the shelf, for kinds that can lie there. `at` is its
    time in UTC with `offset_min`, '' if it has none. `came` is the day from which there is such a thing, '' if
    that is not known.
    """

    name: str
    table: str
    title: str
    url: str
    joins: str = ""
    called: str = ""
    shelved: str = ""
    shown_at: str = ""
    in_use: str = "1"
    aside: str = "0"
    at: str = "''"
    offset_min: str = "0"
    came: str = "''"
    found: Found | None = None
    binned: Binned | None = None
    takes: TakesFields | None = None

    @property
    def source(self) -> str:
        """The table with what is joined to it, as SQL."""
        return f"{self.table} AS t {self.joins}".strip()

    @property
    def place(self) -> str:
        """Where the thing stands, as SQL for an address."""
        return self.shown_at or self.url


@dataclass(frozen=True)
class Thing:
    """One thing by its kind, with what people call it and the address of its page; `is_aside`, and the day it `came`
    if that is known, are told where it is asked for by itself."""

    owner: str
    id: int
    name: str
    url: str
    is_aside: bool = False
    came: str = ""


@dataclass(frozen=True)
class Things:
    """All kinds of the notebook."""

    kinds: tuple[Kind, ...]
    by_name: dict[str, Kind] = field(init=False, compare=False)
    found: dict[str, Kind] = field(init=False, compare=False)
    taking_fields: tuple[TakesFields, ...] = field(init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_name", {kind.name: kind for kind in self.kinds})
        searched = sorted((kind for kind in self.kinds if kind.found), key=lambda kind: kind.found.number)  # type: ignore[union-attr]
        object.__setattr__(self, "found", {kind.found.kind: kind for kind in searched if kind.found})
        object.__setattr__(self, "taking_fields", tuple(kind.takes for kind in self.kinds if kind.takes))

    def thing(self, session: Session, owner: str, owner_id: int) -> Thing:
        """The thing of kind `owner` with that number. Raises NotFound."""
        kind = self.by_name.get(owner)
        if kind is None or not kind.called:
            raise NotFound("There is no such kind of thing in this notebook.")
        query = text(f"SELECT {kind.called}, {kind.url}, {kind.aside}, {kind.came} FROM {kind.source} WHERE t.id = :id")
        row = session.connection().execute(query.bindparams(bindparam("id", owner_id))).one_or_none()
        if row is None:
            raise NotFound(f"There is no such {owner} in this notebook.")
        return Thing(owner, owner_id, row[0], row[1], bool(row[2]), row[3])

    def several(self, session: Session, wanted: Sequence[tuple[str, int]]) -> list[Thing]:
        """Some things by their kinds and numbers, in that order, with one query for all. Raises NotFound."""
        ids: dict[str, list[int]] = {}
        for owner, owner_id in wanted:
            ids.setdefault(owner, []).append(owner_id)
        kinds = [kind for kind in map(self.by_name.get, ids) if kind and kind.called]
        if len(kinds) < len(ids):
            raise NotFound("There is no such kind of thing in this notebook.")
        if not kinds:
            return []
        query = " UNION ALL ".join(
            f"SELECT '{kind.name}', t.id, {kind.called}, {kind.url} FROM {kind.source} "
            f"WHERE t.id IN (SELECT value FROM json_each(:ids{place}))"
            for place, kind in enumerate(kinds)
        )
        values = {f"ids{place}": json.dumps(ids[kind.name]) for place, kind in enumerate(kinds)}
        found = {(row[0], row[1]): Thing(*row) for row in session.connection().execute(text(query), values)}
        if len(found) < len(set(wanted)):
            raise NotFound("There is no such thing in this notebook.")
        return [found[owner, owner_id] for owner, owner_id in wanted]

    def recent(self, session: Session, owner: str, limit: int) -> list[Thing]:
        """The things of kind `owner` written down last, the newest first."""
        kind = self.by_name[owner]
        query = text(
            f"SELECT t.id, {kind.called}, {kind.url} FROM {kind.source} WHERE {kind.in_use} "
            "ORDER BY t.id DESC LIMIT :most"
        )
        rows = session.connection().execute(query.bindparams(bindparam("most", limit)))
        return [Thing(owner, *row) for row in rows]

    def title(self, kind: Kind) -> str:
        """What things of `kind` are called, as SQL over `t`."""
        if SHELVED not in kind.title:
            return kind.title
        shelved = (one for one in self.kinds if one.shelved)
        cases = " ".join(f"WHEN '{one.name}' THEN {_of_owner(one, one.shelved)}" for one in shelved)
        return kind.title.replace(SHELVED, f"CASE t.owner {cases} END")

    def address(self, kind: Kind) -> str:
        """Where things of `kind` stand, as SQL over `t`; for what is attached to something, that thing's place."""
        if kind.place != OF_OWNER:
            return kind.place
        owners = (one for one in self.kinds if one.place != OF_OWNER)
        cases = " ".join(f"WHEN '{one.name}' THEN {_place_of(one)}" for one in owners)
        return f"CASE t.owner {cases} ELSE '/attachments/unsorted' END"


def _place_of(kind: Kind) -> str:
    """The place of the thing of `kind` that the outer row `t` is attached to, as SQL: `t` is another row inside."""
    return _of_owner(kind, kind.place)


def _of_owner(kind: Kind, words: str) -> str:
    """SQL over the thing of `kind` that the outer row `t` is attached to, whose own row is `t` inside."""
    told = f"SELECT t.id AS id, {words} AS told FROM {kind.source}"
    return f"(SELECT known.told FROM ({told}) AS known WHERE known.id = t.owner_id)"


def texts(*columns: str) -> str:
    """Some text columns of a row called {row} as one text for the full-text table, as SQL."""
    return " || ' ' || ".join(f"coalesce({{row}}.{column}, '')" for column in columns) or "''"


# The words and choices in a person's own fields of a row called {row}, as SQL.
OWN_TEXTS = (
    f"coalesce((SELECT group_concat(part.value, ' ') FROM json_each(CASE WHEN json_valid({{row}}.{OWN_VALUES})"
    f" THEN {{row}}.{OWN_VALUES} ELSE '{{{{}}}}' END) AS part WHERE part.type = 'text'), '')"
)


def kinds_of(*rooms: Iterable[Kind]) -> tuple[Kind, ...]:
    """The kinds of some rooms, put together."""
    return tuple(kind for room in rooms for kind in room)
