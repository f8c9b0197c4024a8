"""Routes of the form of an item's entry on the shelf; a pack's form says what speaks against the pack."""

from garage.packs.verdict_store import retire_word
from garage.photos.receipts import FIELD as RECEIPT_FIELD
from garage.photos.receipts import attach_receipts
from garage.shelf import forms, sheets, store
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/shelf/{owner}/{owner_id:int}", "shelf/edit.html")
def edit_entry(desk: Desk, owner: str, owner_id: int) -> sheets.ShelfFormSheet:
    item = store.shelved_thing(desk.session, desk.things, owner, owner_id)
    retire = retire_word(desk.session, owner_id) if owner == "pack" else ""
    return sheets.shelf_form_sheet(item, store.entry(desk.session, owner, owner_id), desk.units, retire)


@pages.action("/shelf/{owner}/{owner_id:int}", on_error=edit_entry, edits=True)
def keep_entry(desk: Desk, owner: str, owner_id: int) -> Done:
    item = store.shelved_thing(desk.session, desk.things, owner, owner_id)
    store.keep_entry(desk.session, owner, owner_id, forms.read_shelf(desk.reader(), owner))
    files_dir = desk.request.app.state.settings.files_dir
    uploads = desk.typed.files(RECEIPT_FIELD)
    attach_receipts(desk.session, files_dir, item, desk.reader(), uploads, desk.moment)
    return Done(item.url, "Saved.")
