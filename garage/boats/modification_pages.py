"""Routes of a modification's page: its steps, and what is found and decided about it."""

from garage.boats.modification_sheets import FoundModificationSheet, found_sheet
from garage.findings.changed import found_about
from garage.modifications import step_store
from garage.modifications.gather import gathered_modification
from garage.modifications.step_forms import read_quick_step
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


_PAGE = "/modifications/{modification_id:int}"


@pages.sheet(_PAGE, "boats/modification.html")
def show_modification(desk: Desk, modification_id: int) -> FoundModificationSheet:
    plain = gathered_modification(desk.session, modification_id, desk.moment, desk.units, desk.rests)
    return found_sheet(plain, found_about(desk.session, plain.hull_id, "change", str(modification_id)))


@pages.action(_PAGE + "/steps", on_error=show_modification)
def add_quick_step(desk: Desk, modification_id: int) -> Done:
    added = step_store.add_step(desk.session, modification_id, read_quick_step(desk.reader()), desk.moment)
    return Done(f"/modifications/{modification_id}#add", f"Written: {added.action} {added.what}".strip())
