"""The route of Home."""

from garage.home.gather import home_sheet
from garage.home.sheets import HomeSheet
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet("/", "home/page.html", representation="/home")
def home(desk: Desk) -> HomeSheet:
    return home_sheet(desk.session, desk.moment, desk.units)
