"""The route of Home."""

from garage.db.kept_backups import backups_ahead
from garage.home.gather import home_sheet
from garage.home.sheets import HomeSheet
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet("/", "home/page.html", representation="/home")
def home(desk: Desk) -> HomeSheet:
    ahead = backups_ahead(desk.request.app.state.settings.data_dir, desk.now)
    return home_sheet(desk.session, desk.things, desk.moment, desk.units, ahead)
