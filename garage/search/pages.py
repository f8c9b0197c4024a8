"""Routes of the search."""

from dataclasses import replace

from garage.search.finding import find, opened_by
from garage.search.sheets import SearchSheet
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet(
    "/search",
    "search/page.html",
    is_list=True,
    asks={"q": "what to look for", "kind": "only things of this kind", "all": "anything, to stay on the list"},
)
def search(desk: Desk) -> SearchSheet:
    found = results(desk)
    # With a kind or "all" the list itself is wanted.
    is_first = not found.kind and "all" not in desk.query and desk.page == 1
    return replace(found, opens=opened_by(desk.session, desk.things, found.q)) if is_first else found


@pages.fragment("/search/results", "search/_results.html")
def results(desk: Desk) -> SearchSheet:
    typed, kind = desk.query.get("q", ""), desk.query.get("kind", "")
    return find(
        desk.session,
        desk.things,
        typed,
        kind,
        page=desk.page,
        limit=desk.limit,
        offset=desk.offset,
        everything=desk.wants_all,
    )
