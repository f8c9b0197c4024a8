"""Routes of every collection: one set of pages, made once for each."""

from garage.inventory import forms, sheets, store
from garage.inventory.collection import Collection
from garage.inventory.kinds import COLLECTIONS
from garage.photos.store import attachments
from garage.web.desk import Desk
from garage.web.pages import Done, Pages


def add_pages(pages: Pages, collection: Collection) -> None:
    """The whole set for one collection: list, new, the thing itself, edit, retire and return."""
    _add_list(pages, collection)
    _add_new(pages, collection)
    _add_thing(pages, collection)
    _add_edit(pages, collection)
    _add_retiring(pages, collection)


def _add_list(pages: Pages, collection: Collection) -> None:
    @pages.sheet(collection.url, "inventory/list.html", is_list=True)
    def list_rows(desk: Desk) -> sheets.ListSheet:
        retired = desk.query.get("retired") == "yes"
        rows = store.rows_of(desk.session, collection, retired=retired, limit=desk.limit + 1, offset=desk.offset)
        return sheets.list_sheet(collection, rows, desk.today, retired=retired, page=desk.page, limit=desk.limit)


def _add_new(pages: Pages, collection: Collection) -> None:
    @pages.sheet(f"{collection.url}/new", "inventory/edit.html")
    def new_row(desk: Desk) -> sheets.FormSheet:
        return sheets.form_sheet(collection, None, desk.units)

    @pages.action(f"{collection.url}/new", on_error=new_row)
    def add_row(desk: Desk) -> Done:
        row = store.add_row(desk.session, collection, forms.read_row(collection, desk.reader()), desk.moment)
        return Done(f"{collection.url}/{row.id}", f"{row.name} is in the notebook.")


def _add_thing(pages: Pages, collection: Collection) -> None:
    @pages.sheet(f"{collection.url}/{{row_id:int}}", "inventory/thing.html")
    def show_row(desk: Desk, row_id: int) -> sheets.ThingSheet:
        row = store.row_of(desk.session, collection, row_id)
        return sheets.thing_sheet(
            collection, row, desk.today, attachments(desk.session, collection.words.one, row_id)
        )  # fmt: skip


def _add_edit(pages: Pages, collection: Collection) -> None:
    @pages.sheet(f"{collection.url}/{{row_id:int}}/edit", "inventory/edit.html")
    def edit_row(desk: Desk, row_id: int) -> sheets.FormSheet:
        return sheets.form_sheet(collection, store.row_of(desk.session, collection, row_id), desk.units)

    @pages.action(f"{collection.url}/{{row_id:int}}/edit", on_error=edit_row)
    def change_row(desk: Desk, row_id: int) -> Done:
        store.change_row(desk.session, collection, row_id, forms.read_row(collection, desk.reader()))
        return Done(f"{collection.url}/{row_id}", "Saved.")


def _add_retiring(pages: Pages, collection: Collection) -> None:
    @pages.sheet(f"{collection.url}/{{row_id:int}}/retire", "inventory/retire.html")
    def ask_retire(desk: Desk, row_id: int) -> sheets.RetireSheet:
        return sheets.retire_sheet(collection, store.row_of(desk.session, collection, row_id), desk.today)

    @pages.action(f"{collection.url}/{{row_id:int}}/retire", on_error=ask_retire)
    def retire_row(desk: Desk, row_id: int) -> Done:
        form = forms.read_retirement(collection, desk.reader())
        row, url = store.retire_row(desk.session, collection, row_id, form), f"{collection.url}/{row_id}"
        return Done(url, f"{row.name} is retired.", undo=f"{url}/return")

    @pages.action(f"{collection.url}/{{row_id:int}}/return")
    def return_row(desk: Desk, row_id: int) -> Done:
        row = store.return_row(desk.session, collection, row_id)
        return Done(f"{collection.url}/{row_id}", f"{row.name} is back in use.")


pages = Pages()
for _collection in COLLECTIONS:
    add_pages(pages, _collection)
