"""Routes of modifications: list, form, fitting, taking off, dropping, the sheet. Their page is of the room of boats."""

from garage.hulls.store import hull
from garage.modifications import fitting, forms, sheets, step_store, store
from garage.modifications.gather import gathered_modification
from garage.states.change_store import Visit
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


_PAGE = "/modifications/{modification_id:int}"


@pages.sheet("/hulls/{hull_id:int}/modifications", "modifications/modifications.html", is_list=True)
def list_modifications(desk: Desk, hull_id: int) -> sheets.ModificationListSheet:
    session, boat = desk.session, hull(desk.session, hull_id)
    rows = store.modifications_of(session, hull_id, limit=desk.limit + 1, offset=desk.offset)
    ids = [row.id for row in rows]
    statuses, steps = store.status(session, ids), step_store.mended_steps_of_several(session, ids)
    return sheets.modification_list_sheet(boat, rows, statuses, steps, page=desk.page, limit=desk.limit)


@pages.sheet("/hulls/{hull_id:int}/modifications/new", "modifications/edit.html")
def new_modification(desk: Desk, hull_id: int) -> sheets.ModificationFormSheet:
    return sheets.modification_form_sheet(hull(desk.session, hull_id), None, desk.units)


@pages.action("/hulls/{hull_id:int}/modifications/new", on_error=new_modification)
def add_modification(desk: Desk, hull_id: int) -> Done:
    boat = hull(desk.session, hull_id)
    added = store.add_modification(desk.session, hull_id, forms.read_modification(desk.reader()), desk.moment)
    return Done(f"/modifications/{added.id}", f"Planned for {boat.name}: {added.title}")


@pages.sheet(_PAGE + "/sheet", "modifications/sheet.html")
def show_step_sheet(desk: Desk, modification_id: int) -> sheets.ModificationSheet:
    return gathered_modification(desk.session, modification_id, desk.moment, desk.units, desk.rests)


@pages.sheet(_PAGE + "/edit", "modifications/edit.html")
def edit_modification(desk: Desk, modification_id: int) -> sheets.ModificationFormSheet:
    kept = store.modification(desk.session, modification_id)
    return sheets.modification_form_sheet(hull(desk.session, kept.hull_id), kept, desk.units)


@pages.action(_PAGE + "/edit", on_error=edit_modification, edits=True)
def change_modification(desk: Desk, modification_id: int) -> Done:
    store.change_modification(desk.session, modification_id, forms.read_modification(desk.reader()), desk.moment)
    return Done(f"/modifications/{modification_id}", "Saved.")


@pages.sheet(_PAGE + "/fit", "modifications/fit.html")
def ask_fit(desk: Desk, modification_id: int) -> sheets.FitSheet:
    return _ask(desk, modification_id, "fit")


@pages.action(_PAGE + "/fit", on_error=ask_fit)
def fit(desk: Desk, modification_id: int) -> Done:
    visit = fitting.fit(desk.session, modification_id, _read_fit(desk), desk.moment, desk.rests)
    return _made(modification_id, visit, "Fitted")


@pages.sheet(_PAGE + "/rework", "modifications/fit.html")
def ask_rework(desk: Desk, modification_id: int) -> sheets.FitSheet:
    return _ask(desk, modification_id, "rework")


@pages.action(_PAGE + "/rework", on_error=ask_rework)
def rework(desk: Desk, modification_id: int) -> Done:
    visit = fitting.rework(desk.session, modification_id, _read_fit(desk), desk.moment, desk.rests)
    return _made(modification_id, visit, "Reworked")


@pages.sheet(_PAGE + "/take-off", "modifications/fit.html")
def ask_take_off(desk: Desk, modification_id: int) -> sheets.FitSheet:
    return _ask(desk, modification_id, "take off")


@pages.action(_PAGE + "/take-off", on_error=ask_take_off)
def take_off(desk: Desk, modification_id: int) -> Done:
    visit = fitting.take_off(desk.session, modification_id, _read_fit(desk), desk.moment, desk.rests)
    return _made(modification_id, visit, "Taken off")


@pages.sheet(_PAGE + "/drop", "modifications/drop.html")
def ask_drop(desk: Desk, modification_id: int) -> sheets.DropSheet:
    kept = store.modification(desk.session, modification_id)
    return sheets.DropSheet(modification_id, kept.hull_id, hull(desk.session, kept.hull_id).name, kept.title, {})


@pages.action(_PAGE + "/drop", on_error=ask_drop)
def drop(desk: Desk, modification_id: int) -> Done:
    kept = store.drop(desk.session, modification_id, desk.moment, forms.read_reason(desk.reader()))
    page = f"/modifications/{modification_id}"
    return Done(page, f"Dropped: {kept.title}", undo=f"{page}/pick-up")


@pages.action(_PAGE + "/pick-up")
def pick_up(desk: Desk, modification_id: int) -> Done:
    kept = store.pick_up(desk.session, modification_id, desk.moment)
    return Done(f"/modifications/{modification_id}", f"Picked up again: {kept.title}")


def _ask(desk: Desk, modification_id: int, act: str) -> sheets.FitSheet:
    kept = store.modification(desk.session, modification_id)
    steps = step_store.mended_steps_of_several(desk.session, [modification_id]).get(modification_id, [])
    return sheets.fit_sheet(kept, hull(desk.session, kept.hull_id), act, steps, desk.moment)


def _read_fit(desk: Desk) -> forms.FitFormData:
    return forms.read_fit(desk.reader(), desk.typed.all("done"))


def _made(modification_id: int, visit: Visit, words: str) -> Done:
    state = visit.state
    undo = f"/hulls/{state.hull_id}/states/{state.number}/back/{visit.first_position}"
    return Done(f"/modifications/{modification_id}", f"{words}: build state {state.number}.", undo)
