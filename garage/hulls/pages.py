"""Routes of hulls: the list, the form, retiring, and the lists before launch. The hull's own page is in boats/."""

from garage.hulls import forms, sheets, store
from garage.web.desk import Desk
from garage.web.pages import RETIRED, Done, Pages

pages = Pages()


@pages.sheet("/hulls", "hulls/list.html", is_list=True, asks=RETIRED)
def list_hulls(desk: Desk) -> sheets.HullListSheet:
    retired = desk.query.get("retired") == "yes"
    found = store.hulls(desk.session, retired=retired, limit=desk.limit + 1, offset=desk.offset)
    return sheets.hull_list_sheet(found, retired=retired, page=desk.page, limit=desk.limit)


@pages.sheet("/hulls/new", "hulls/edit.html")
def new_hull(desk: Desk) -> sheets.HullFormSheet:
    return sheets.hull_form_sheet(None, desk.units, desk.today)


@pages.action("/hulls/new", on_error=new_hull)
def add_hull(desk: Desk) -> Done:
    hull = store.add_hull(desk.session, forms.read_hull(desk.reader()), desk.moment)
    return Done(f"/hulls/{hull.id}", f"{hull.name} is in the notebook.")


@pages.sheet("/hulls/{hull_id:int}/edit", "hulls/edit.html")
def edit_hull(desk: Desk, hull_id: int) -> sheets.HullFormSheet:
    return sheets.hull_form_sheet(store.hull(desk.session, hull_id), desk.units, desk.today)


@pages.action("/hulls/{hull_id:int}/edit", on_error=edit_hull)
def change_hull(desk: Desk, hull_id: int) -> Done:
    store.change_hull(desk.session, hull_id, forms.read_hull(desk.reader()))
    return Done(f"/hulls/{hull_id}", "Saved.")


@pages.sheet("/hulls/{hull_id:int}/retire", "hulls/retire.html")
def ask_retire(desk: Desk, hull_id: int) -> sheets.RetireSheet:
    return sheets.RetireSheet(hull_id, store.hull(desk.session, hull_id).name, {})


@pages.action("/hulls/{hull_id:int}/retire", on_error=ask_retire)
def retire_hull(desk: Desk, hull_id: int) -> Done:
    reader = desk.reader()
    reason = reader.text("reason", most=300)
    reader.finish()
    hull = store.retire_hull(desk.session, hull_id, desk.today, reason)
    return Done(f"/hulls/{hull_id}", f"{hull.name} is retired.", undo=f"/hulls/{hull_id}/return")


@pages.action("/hulls/{hull_id:int}/return")
def return_hull(desk: Desk, hull_id: int) -> Done:
    hull = store.retire_hull(desk.session, hull_id, "", "")
    return Done(f"/hulls/{hull_id}", f"{hull.name} is back in use.")


@pages.sheet("/hulls/{hull_id:int}/lists", "hulls/lists.html")
def show_lists(desk: Desk, hull_id: int) -> sheets.ListsSheet:
    hull = store.hull(desk.session, hull_id)
    launch, packing = (store.checklist(desk.session, hull_id, name) for name in ("launch", "packing"))
    return sheets.lists_sheet(hull, launch, packing)


@pages.action("/hulls/{hull_id:int}/lists", on_error=show_lists)
def add_list_line(desk: Desk, hull_id: int) -> Done:
    line = store.add_checklist_line(desk.session, hull_id, forms.read_checklist_line(desk.reader()))
    return Done(f"/hulls/{hull_id}/lists", f"On the list: {line.text}")


@pages.action("/hulls/{hull_id:int}/lists/{line_id:int}/remove")
def remove_list_line(desk: Desk, hull_id: int, line_id: int) -> Done:
    line = store.set_aside_checklist_line(desk.session, hull_id, line_id, desk.moment.utc)
    undo = f"/hulls/{hull_id}/lists/{line_id}/return"
    return Done(f"/hulls/{hull_id}/lists", f"Taken off the list: {line.text}", undo)


@pages.action("/hulls/{hull_id:int}/lists/{line_id:int}/return")
def return_list_line(desk: Desk, hull_id: int, line_id: int) -> str:
    store.set_aside_checklist_line(desk.session, hull_id, line_id, None)
    return f"/hulls/{hull_id}/lists"
