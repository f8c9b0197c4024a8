"""The route of Home."""

from garage.db.kept_backups import backups_ahead
from garage.home.gather import MOST_WANTS, home_sheet
from garage.home.sheets import HomeSheet, RoomsSheet, WantsSheet, rooms_sheet
from garage.runs.denied_store import notice
from garage.runs.store import run
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/", "home/page.html", representation="/home")
def home(desk: Desk) -> HomeSheet:
    ahead = backups_ahead(desk.request.app.state.settings.data_dir, desk.now)
    return home_sheet(desk.session, desk.things, desk.moment, desk.units, ahead)


@pages.sheet("/wants", "home/wants.html")
def wants(desk: Desk) -> WantsSheet:
    ahead = backups_ahead(desk.request.app.state.settings.data_dir, desk.now)
    found = home_sheet(desk.session, desk.things, desk.moment, desk.units, ahead, most=MOST_WANTS).wants
    return WantsSheet([*found.shown, *found.more])


@pages.sheet("/rooms", "home/rooms.html")
def rooms(desk: Desk) -> RoomsSheet:
    return rooms_sheet()


@pages.action("/home/denied/{run_id:int}/noticed")
def denied_speed_noticed(desk: Desk, run_id: int) -> Done:
    run(desk.session, run_id)
    notice(desk.session, run_id)
    return Done("/", "It is not named here again; the run stays marked until another speed is written.")
