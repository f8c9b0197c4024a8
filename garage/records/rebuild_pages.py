"""Routes of the rebuild sheets."""

from garage.records.rebuild import rebuild_sheet
from garage.records.rebuild_sheets import RebuildSheet
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet("/runs/{run_id:int}/rebuild", "records/rebuild.html")
def show_rebuild(desk: Desk, run_id: int) -> RebuildSheet:
    return rebuild_sheet(desk.session, run_id, desk.moment, desk.units)
