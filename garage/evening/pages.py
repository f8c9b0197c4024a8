"""Routes of the evening table."""

from garage.evening.table import EveningSheet, evening_sheet, save_evening
from garage.web.desk import Desk
from garage.web.pages import RUNS_PAGE, Done, Pages

pages = Pages()


@pages.sheet("/outings/{outing_id:int}/evening", "evening/page.html", asks=RUNS_PAGE)
def show_evening(desk: Desk, outing_id: int) -> EveningSheet:
    return evening_sheet(desk.session, outing_id, desk.page, desk.units)


@pages.action("/outings/{outing_id:int}/evening", on_error=show_evening, edits=True)
def write_evening(desk: Desk, outing_id: int) -> Done:
    saved = save_evening(desk.session, outing_id, desk.reader(), desk.typed, desk.moment)
    said = [f"{saved.changed} changed"] * bool(saved.changed) + [f"{saved.new} written"] * bool(saved.new)
    said += ["conditions"] * saved.day
    return Done(f"/outings/{outing_id}/evening", f"Saved: {', '.join(said) or 'nothing was different'}.")
