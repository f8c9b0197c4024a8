"""Routes of the hull's own page and of her history."""

from garage.boats import hull_sheets as sheets
from garage.boats.gather import hull_sheet
from garage.boats.history import History, history
from garage.boats.history_store import read_mark
from garage.boats.hull_store import hull_kept
from garage.hulls.store import hull
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


EVENTS_ON_A_PAGE = 20


@pages.sheet(
    "/hulls/{hull_id:int}",
    "boats/hull.html",
    asks={"way": "the way of measuring whose best speeds are drawn, as the page’s own links name it"},
)
def show_hull(desk: Desk, hull_id: int) -> sheets.HullSheet:
    (found, kept), asked = hull_kept(desk.session, hull_id), desk.query.get("way", "")
    return hull_sheet(desk.session, found, kept, EVENTS_ON_A_PAGE, asked, desk.moment, desk.units)


@pages.sheet(
    "/hulls/{hull_id:int}/history",
    "boats/history.html",
    is_list=True,
    asks={"before": "where to go on, as `shown.older` of the answer before says"},
)
def show_history(desk: Desk, hull_id: int) -> sheets.HistorySheet:
    name = hull(desk.session, hull_id).name
    before = read_mark(desk.query.get("before", ""))
    shown = history(desk.session, hull_id, before, desk.units, EVENTS_ON_A_PAGE)
    while desk.wants_all and shown.older:
        further = history(desk.session, hull_id, read_mark(shown.older), desk.units, EVENTS_ON_A_PAGE)
        shown = History([*shown.events, *further.events], further.older)
    return sheets.HistorySheet(hull_id, name, shown)
