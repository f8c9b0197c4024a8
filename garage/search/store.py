"""Reading the full-text table, and the codes and names that lead straight to a thing."""

from dataclasses import dataclass

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.search.kinds import KIND_SPAN, first_row, id_of_row
from garage.things import Kind, Things

# Signs that no text holds, around what matched; the sheet turns them into marks after escaping.
MARK, UNMARK = "\x02", "\x03"
# So many things that one code or name may lead to; codes are unique per kind.
MOST_STRAIGHT = 12

_FIND = text(
    "SELECT rowid, snippet(search_text, -1, :mark, :unmark, '…', 14) FROM search_text "
    "WHERE search_text MATCH :match AND rowid BETWEEN :first AND :last "
    "ORDER BY rowid DESC LIMIT :limit OFFSET :offset"
)


@dataclass(frozen=True)
class Match:
    """One thing that matched, with the words around the match."""

    id: int
    snippet: str


def matches(session: Session, match: str, kind: Kind, *, limit: int, offset: int = 0) -> list[Match]:
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


def by_code(session: Session, things: Things, typed: str) -> list[tuple[str, int]]:
    """Kind and id of everything whose code or name is exactly what was typed, in the usual cases."""
    spellings = sorted({typed, typed.upper(), typed.lower(), typed.capitalize(), typed.title()})
    coded = ((name, kind) for name, kind in things.found.items() if kind.found and kind.found.code)
    query = text(
        " UNION ALL ".join(
            f"SELECT '{name}', id FROM {kind.table} WHERE {kind.found.code} IN :spellings"
            for name, kind in coded
            if kind.found
        )
        + f" LIMIT {MOST_STRAIGHT}"
    ).bindparams(bindparam("spellings", expanding=True))
    return [(kind, thing_id) for kind, thing_id in session.execute(query, {"spellings": spellings})]
