"""Routes of hulls: the set of pages of a collection, and the lists before launch. Their list and the hull's own page
are in boats/."""

from garage.hulls import forms, sheets, store
from garage.hulls.kinds import HULLS
from garage.inventory.pages import add_edit, add_new, add_retiring
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
add_new(pages, HULLS)
add_edit(pages, HULLS)
add_retiring(pages, HULLS)


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
