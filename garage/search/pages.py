"""Routes of the search."""

from garage.search.finding import find
from garage.search.sheets import SearchSheet
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet("/search", "search/page.html", is_list=True)
def search(desk: Desk) -> SearchSheet:
    typed, kind = desk.query.get("q", ""), desk.query.get("kind", "")
    return find(
        desk.session, typed, kind, page=desk.page, limit=desk.limit, offset=desk.offset, everything=desk.wants_all
    )


@pages.fragment("/search/results", "search/_results.html")
def results(desk: Desk) -> SearchSheet:
    return search(desk)
