"""Reading the full-text table, and the codes and names that lead straight to a thing."""

from dataclasses import dataclass

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.search.kinds import KIND_SPAN, first_row, id_of_row

# Signs that no text holds, around what matched; the sheet turns them into marks after escaping.
MARK, UNMARK = "\x02", "\x03"
# So many things that one code or name may lead to; codes are unique per kind.
MOST_STRAIGHT = 12

_FIND = text(
    "SELECT rowid, snippet(search_text, -1, :mark, :unmark, '…', 14) FROM search_text "
    "WHERE search_text MATCH :match AND rowid BETWEEN :first AND :last "
    "ORDER BY rowid DESC LIMIT :limit OFFSET :offset"
)
# kind -> (table, code or name)
_NAMED = {
    "hull": ("hull", "name"),
    "prop": ("prop", "code"),
    "pack": ("pack", "code"),
    "drive": ("part", "code"),
    "supply": ("supply", "code"),
}
_BY_CODE = text(
    " UNION ALL ".join(
        f"SELECT '{kind}', id FROM {table} WHERE {column} IN :spellings"
        for kind, (table, column) in _NAMED.items()
    )
    + f" LIMIT {MOST_STRAIGHT}"
).bindparams(bindparam("spellings", expanding=True))


@dataclass(frozen=True)
class Match:
    """One thing that matched, with the words around the match."""

    id: int
    snippet: str


def matches(session: Session, match: str, kind: str, *, limit: int, offset: int = 0) -> list[Match]:
    """The things of `kind` that match, the last written first. Reads no more rows than asked for."""
    first = first_row(kind)
    rows = session.execute(
        _FIND,
        {
            "match": match,
            "first": first,
            "last": first + KIND_SPAN - 1,
            "limit": limit,
            "offset": offset,
            "mark": MARK,
            "unmark": UNMARK,
        },
    )
    return [Match(id_of_row(row), snippet) for row, snippet in rows]


def by_code(session: Session, typed: str) -> list[tuple[str, int]]:
    """Kind and id of everything whose code or name is exactly what was typed, in the usual cases."""
    spellings = sorted({typed, typed.upper(), typed.lower(), typed.capitalize(), typed.title()})
    return [(kind, thing_id) for kind, thing_id in session.execute(_BY_CODE, {"spellings": spellings})]
