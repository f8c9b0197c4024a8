"""Routes of packs. Lists and a pack's own page are in items/."""

from garage.packs import forms, sheets, store
from garage.packs.verdict_store import retire_word
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/packs/new", "packs/edit.html")
def new_pack(desk: Desk) -> sheets.PackFormSheet:
    return sheets.pack_form_sheet(None, store.suggest_code(desk.session), desk.units)


@pages.action("/packs/new", on_error=new_pack)
def add_pack(desk: Desk) -> Done:
    pack = store.add_pack(desk.session, forms.read_pack(desk.reader()), desk.moment)
    return Done(f"/packs/{pack.id}", f"Pack {pack.code} is in the notebook.")


@pages.sheet("/packs/{pack_id:int}/edit", "packs/edit.html")
def edit_pack(desk: Desk, pack_id: int) -> sheets.PackFormSheet:
    pack, retire = store.pack(desk.session, pack_id), retire_word(desk.session, pack_id)
    return sheets.pack_form_sheet(pack, "", desk.units, retire)


@pages.action("/packs/{pack_id:int}/edit", on_error=edit_pack)
def change_pack(desk: Desk, pack_id: int) -> Done:
    store.change_pack(desk.session, pack_id, forms.read_pack(desk.reader()))
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


@pages.sheet("/packs/{pack_id:int}/retire", "packs/retire.html")
def ask_retire(desk: Desk, pack_id: int) -> sheets.RetirePackSheet:
    return sheets.retire_sheet(store.pack(desk.session, pack_id), retire_word(desk.session, pack_id))


@pages.action("/packs/{pack_id:int}/retire", on_error=ask_retire)
def retire_pack(desk: Desk, pack_id: int) -> Done:
    reader = desk.reader()
    reason = reader.text("reason", required=True, most=300)
    reader.finish()
    pack = store.retire_pack(desk.session, pack_id, desk.today, reason)
    return Done(f"/packs/{pack_id}", f"Pack {pack.code} is retired.", undo=f"/packs/{pack_id}/return")


@pages.action("/packs/{pack_id:int}/return")
def return_pack(desk: Desk, pack_id: int) -> Done:
    pack = store.retire_pack(desk.session, pack_id, "", "")
    return Done(f"/packs/{pack_id}", f"Pack {pack.code} is back in use.")
