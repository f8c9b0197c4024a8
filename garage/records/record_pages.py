"""Routes of the records."""

from garage.records.filter_store import narrowing, suggestions
from garage.records.forms import ASKED, read_filters
from garage.records.sections import sections_and_board
from garage.records.sheets import RecordsSheet, records_sheet
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


# So many runs stand in each section as long as several are shown.
OF_EACH_WAY = 8


@pages.sheet("/records", "records/list.html", is_list=True, asks=ASKED)
def show_records(desk: Desk) -> RecordsSheet:
    reader = desk.query_reader()
    filters = read_filters(reader)
    wanted, errors = narrowing(desk.session, filters)
    in_pages = filters.one_way or desk.wants_all
    limit, offset, page = (desk.limit, desk.offset, desk.page) if in_pages else (OF_EACH_WAY, 0, 1)
    found, best = sections_and_board(
        desk.session, filters, wanted, desk.units, desk.today, limit=limit, offset=offset, is_whole=not in_pages
    )
    told = {**reader.errors, **errors}
    known = suggestions(desk.session)
    return records_sheet(found, best, filters, told, desk.query, known, desk.units, page=page, offset=offset)
