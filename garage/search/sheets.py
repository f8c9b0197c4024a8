"""What the search page shows."""

from dataclasses import dataclass, field

from garage.moments import Moment
from garage.search.query import MOST_WORDS, Wanted
from garage.search.store import MARK, UNMARK, Match
from garage.search.title_store import Place
from garage.things import Kind


@dataclass(frozen=True)
class Piece:
    """A stretch of a snippet; `hit` where it matched."""

    text: str
    hit: bool


@dataclass(frozen=True)
class Result:
    """One thing found."""

    kind: str
    title: str
    address: str
    at: Moment | None
    snippet: list[Piece]
    aside: bool
    retire: str = ""


@dataclass(frozen=True)
class ResultRow:
    """One thing found, as a row of the table file."""

    kind: str
    title: str
    at: Moment | None
    words: str
    set_aside: bool
    address: str
    retire: str = ""


@dataclass(frozen=True)
class Group:
    """The results of one kind, the last written first; `more` if there are further ones."""

    kind: str
    heading: str
    results: list[Result]
    more: bool


@dataclass(frozen=True)
class SearchSheet:
    """What was looked for, what it leads straight to, and what was found by kind.

    `kind` is set when only one kind is listed, in pages. `looked` is False when nothing could be looked for.
    `opens` is the page of the one thing that bears what was typed as its label or code.
    """

    q: str
    kind: str
    straight: list[Result]
    groups: list[Group]
    looked: bool
    cut: bool
    page: int
    more: bool
    values: dict[str, str] = field(default_factory=dict)
    most_words: int = MOST_WORDS
    opens: str = ""

    @property
    def rows(self) -> list["ResultRow"]:
        """Everything found as one list, for the table file."""
        found = [*self.straight, *(result for group in self.groups for result in group.results)]
        return [
            ResultRow(
                one.kind,
                one.title,
                one.at,
                "".join(piece.text for piece in one.snippet),
                one.aside,
                one.address,
                one.retire,
            )
            for one in found
        ]


def pieces(snippet: str) -> list[Piece]:
    """A snippet taken apart at its marks; a mark left open counts to the end."""
    found = []
    for index, part in enumerate(snippet.split(MARK)):
        hit, _, rest = part.partition(UNMARK) if index else ("", "", part)
        found += [Piece(text, is_hit) for text, is_hit in ((hit, True), (rest, False)) if text]
    return found


def result(kind: str, place: Place, snippet: str = "") -> Result:
    """One thing found, as a line."""
    said = pieces(" ".join(snippet.split()))
    return Result(kind, place.title, place.address, place.at, said, place.aside, place.retire)


def group(kind: Kind, found: list[Match], places: dict[int, Place], limit: int) -> Group:
    """The results of one kind; `found` holds one more than `limit` if there are further ones."""
    assert kind.found is not None
    name = kind.found.kind
    results = [result(name, places[match.id], match.snippet) for match in found[:limit] if match.id in places]
    return Group(name, kind.found.heading, results, len(found) > limit)


def search_sheet(
    q: str, kind: str, query: Wanted, straight: list[Result], groups: list[Group], page: int
) -> SearchSheet:
    """The page of one search."""
    more = bool(kind) and any(one.more for one in groups)
    shown = [one for one in groups if one.results]
    return SearchSheet(q, kind, straight, shown, bool(query.match), query.cut, page, more, {"q": q})
