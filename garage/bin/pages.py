"""The bin: what was set aside, and a button that brings it back."""

from garage.bin import sheets, store
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet("/bin", "bin/page.html", is_list=True)
def show_bin(desk: Desk) -> sheets.BinSheet:
    found = store.set_aside_things(desk.session, limit=desk.limit + 1, offset=desk.offset)
    return sheets.bin_sheet(found, desk.page, desk.limit)
