"""Routes of preferences: the units that numbers are shown in."""

from garage.preferences import forms, sheets, store
from garage.units import DisplayUnits
from garage.web.desk import Desk
from garage.web.pages import Cookie, Done, Pages
from garage.web.screen import COOKIE, SCREENS, STAYS_S, screen_of

pages = Pages()


@pages.sheet("/preferences", "preferences/edit.html")
def show_preferences(desk: Desk) -> sheets.PreferencesSheet:
    # Those that stand now, whatever the form at hand was shown in.
    return sheets.preferences_sheet(desk.request.app.state.units)


@pages.action("/preferences", on_error=show_preferences, edits=True)
def keep_preferences(desk: Desk) -> Done:
    _keep(desk, forms.read_units(desk.reader()))
    return Done("/preferences", "Numbers are shown in these units from now on.")


@pages.action("/preferences/metric")
def all_metric(desk: Desk) -> Done:
    _keep(desk, DisplayUnits.metric())
    return Done("/preferences", "Everything is shown in metric units.")


@pages.action("/preferences/imperial")
def all_imperial(desk: Desk) -> Done:
    _keep(desk, DisplayUnits.imperial())
    return Done("/preferences", "Everything that has them is shown in imperial units.")


@pages.action("/preferences/screen", on_error=show_preferences)
def set_screen(desk: Desk) -> Done:
    screen, back = forms.read_screen(desk.reader())
    said = f"This screen shows pages {SCREENS[screen].split(':')[0]} from now on."
    undo = f"/preferences/screen/{screen_of(desk.request) or 'usual'}"
    return Done(back, said, undo, cookies=(Cookie(COOKIE, screen, STAYS_S),))


@pages.action("/preferences/screen/{was}")
def screen_as_it_was(_desk: Desk, was: str) -> Done:
    screen = was if was in SCREENS else ""
    return Done("/preferences", "This screen shows pages as before.", cookies=(Cookie(COOKIE, screen, STAYS_S),))


def _keep(desk: Desk, units: DisplayUnits) -> None:
    store.keep_units(desk.session, units)
    desk.session.flush()
    # Every page asks the app for the units, not the file.
    desk.request.app.state.units = units
