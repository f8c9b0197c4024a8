"""Routes of drives: the form for each kind, and retiring. Lists and a part's own page are in items/."""

from garage.drives import forms, sheets, store
from garage.drives.figures import PART_KINDS
from garage.errors import Conflict
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/drives/new", "drives/edit.html", asks={"kind": "the kind of part to begin with"})
def new_part(desk: Desk) -> sheets.PartFormSheet:
    kind = _kind(desk)
    code = store.suggested_code(desk.session, kind) if kind else ""
    return sheets.new_part_sheet(kind, code, desk.units)


@pages.action("/drives/new", on_error=new_part)
def add_part(desk: Desk) -> Done:
    kind = _kind(desk)
    if not kind:
        raise Conflict("Choose first what kind of hardware it is.")
    part = store.add_part(desk.session, forms.read_part(desk.reader(), kind), desk.moment)
    return Done(f"/drives/{part.id}", f"{part.code} is in the notebook.")


@pages.sheet("/drives/{part_id:int}/edit", "drives/edit.html")
def edit_part(desk: Desk, part_id: int) -> sheets.PartFormSheet:
    return sheets.part_form_sheet(store.part(desk.session, part_id), desk.units)


@pages.action("/drives/{part_id:int}/edit", on_error=edit_part)
def change_part(desk: Desk, part_id: int) -> Done:
    kind = store.part(desk.session, part_id).kind
    store.change_part(desk.session, part_id, forms.read_part(desk.reader(), kind))
    return Done(f"/drives/{part_id}", "Saved. Build states keep the figures they were made with.")


@pages.sheet("/drives/{part_id:int}/retire", "drives/retire.html")
def ask_retire(desk: Desk, part_id: int) -> sheets.RetireSheet:
    return sheets.RetireSheet(part_id, store.part_text(store.part(desk.session, part_id)).text, {})


@pages.action("/drives/{part_id:int}/retire", on_error=ask_retire)
def retire_part(desk: Desk, part_id: int) -> Done:
    reader = desk.reader()
    reason = reader.text("reason", most=300)
    reader.finish()
    part = store.retire_part(desk.session, part_id, desk.today, reason)
    return Done(f"/drives/{part_id}", f"{part.code} is retired.", undo=f"/drives/{part_id}/return")


@pages.action("/drives/{part_id:int}/return")
def return_part(desk: Desk, part_id: int) -> Done:
    part = store.retire_part(desk.session, part_id, "", "")
    return Done(f"/drives/{part_id}", f"{part.code} is back in use.")


def _kind(desk: Desk) -> str:
    """The kind that the address asks for, or ''."""
    kind = desk.query.get("kind", "")
    return kind if kind in PART_KINDS else ""
