"""Routes of packs. Lists and a pack's own page are in items/."""

from garage.inventory.pages import add_retiring
from garage.inventory.store import add_row, change_row
from garage.packs import forms, sheets, store
from garage.packs.kinds import PACKS
from garage.packs.verdict_store import retire_word
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
add_retiring(pages, PACKS, retire_word)


@pages.sheet("/packs/new", "packs/edit.html")
def new_pack(desk: Desk) -> sheets.PackFormSheet:
    return sheets.pack_form_sheet(None, store.suggest_code(desk.session), desk.units)


@pages.action("/packs/new", on_error=new_pack)
def add_pack(desk: Desk) -> Done:
    pack = add_row(desk.session, PACKS, forms.read_pack(desk.reader()), desk.moment)
    return Done(f"/packs/{pack.id}", f"Pack {pack.code} is in the notebook.")


@pages.sheet("/packs/{pack_id:int}/edit", "packs/edit.html")
def edit_pack(desk: Desk, pack_id: int) -> sheets.PackFormSheet:
    pack, retire = store.pack(desk.session, pack_id), retire_word(desk.session, pack_id)
    return sheets.pack_form_sheet(pack, "", desk.units, retire)


@pages.action("/packs/{pack_id:int}/edit", on_error=edit_pack, edits=True)
def change_pack(desk: Desk, pack_id: int) -> Done:
    change_row(desk.session, PACKS, pack_id, forms.read_pack(desk.reader()))
    return Done(f"/packs/{pack_id}", "Saved.")


@pages.sheet("/packs/{pack_id:int}/damage", "packs/damage.html")
def ask_damage(desk: Desk, pack_id: int) -> sheets.DamageSheet:
    return sheets.damage_sheet(store.pack(desk.session, pack_id), retire_word(desk.session, pack_id))


@pages.action("/packs/{pack_id:int}/damage", on_error=ask_damage)
def note_damage(desk: Desk, pack_id: int) -> Done:
    before = store.pack(desk.session, pack_id).damage
    form = forms.read_damage(desk.reader(), desk.typed.all("signs"), before)
    store.note_damage(desk.session, pack_id, form, desk.today)
    return Done(
        f"/packs/{pack_id}",
        "Noted." if form.damage else "The note is off; it stands among the pack’s notes.",
    )
