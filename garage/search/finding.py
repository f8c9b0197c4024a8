"""One search: what was typed leads straight to things by code, mark or fingerprint, and to all that mentions it."""

from sqlmodel import Session

from garage.search import sheets, store, title_store
from garage.search.query import fingerprint_beginning, wanted
from garage.states.store import as_mark, states_with_fingerprint, states_with_mark
from garage.things import Things

# So many results of each kind stand on the first page.
OF_EACH_KIND = 6
# What wears a printed label.
_LABELLED = ("pack", "prop")
# What is typed beyond this is not looked at.
MOST_TYPED = 1000


def find(
    session: Session,
    things: Things,
    typed: str,
    kind: str,
    *,
    page: int,
    limit: int,
    offset: int,
    everything: bool = False,
) -> sheets.SearchSheet:
    """What `typed` leads to; with a `kind`, only that kind, in pages; without, a few of each kind, unless
    `everything` is wanted. Any text is fine; none is an error."""
    q = "".join(sign for sign in typed[:MOST_TYPED] if sign.isprintable()).strip()
    query = wanted(q)
    kind = kind if kind in things.found else ""
    groups = []
    for name in [kind] if kind else things.found:
        one = things.found[name]
        most, skip = (limit, offset) if kind or everything else (OF_EACH_KIND, 0)
        found = store.matches(session, query.match, one, limit=most + 1, offset=skip) if query.match else []
        places = title_store.places(session, things, one, [match.id for match in found])
        groups.append(sheets.group(one, found, places, most))
    straight = [] if kind else _straight(session, things, q)
    return sheets.search_sheet(q, kind, query, straight, groups, page)


def opened_by(session: Session, things: Things, typed: str) -> str:
    """The address of the thing whose label was typed or scanned, like `pack J` or `prop 21`, or whose code
    alone was, if only one thing bears it. '' otherwise: a hull's name is a word to search for."""
    q = "".join(sign for sign in typed[:MOST_TYPED] if sign.isprintable()).strip()
    label, _, code = q.partition(" ")
    found = store.by_code(session, things, q) if q else []
    if label.lower() in _LABELLED and code:
        found = [one for one in store.by_code(session, things, code.strip()) if one[0] == label.lower()]
    if len(found) != 1 or found[0][0] == "hull":
        return ""
    kind, thing = found[0]
    place = title_store.places(session, things, things.found[kind], [thing]).get(thing)
    return place.address if place else ""


def _straight(session: Session, things: Things, q: str) -> list[sheets.Result]:
    """Things whose code, name, mark or fingerprint is what was typed."""
    if not q:
        return []
    found = store.by_code(session, things, q)
    if beginning := fingerprint_beginning(q):
        states = states_with_fingerprint(session, beginning)[: store.MOST_STRAIGHT]
        found += [("state", state.id) for state in states]
    mark = as_mark(q)
    found += [("state", state.id) for state in states_with_mark(session, mark, " ".join(reversed(mark.split())))]
    places = {
        kind: title_store.places(session, things, things.found[kind], [thing for one, thing in found if one == kind])
        for kind in {kind for kind, _ in found}
    }
    return [sheets.result(kind, places[kind][thing]) for kind, thing in found if thing in places[kind]]
