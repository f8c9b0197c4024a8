"""Routes of drives: the form for each kind, and retiring. Lists and a part's own page are in items/."""

from garage.drives import forms, sheets, store
from garage.drives.figures import PART_KINDS
from garage.drives.kinds import PARTS
from garage.errors import Conflict
from garage.inventory.pages import add_retiring
from garage.inventory.store import add_row, change_row
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
add_retiring(pages, PARTS)


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
    part = add_row(desk.session, PARTS, forms.read_part(desk.reader(), kind), desk.moment)
    return Done(f"/drives/{part.id}", f"{part.code} is in the notebook.")


@pages.sheet("/drives/{part_id:int}/edit", "drives/edit.html")
def edit_part(desk: Desk, part_id: int) -> sheets.PartFormSheet:
    return sheets.part_form_sheet(store.part(desk.session, part_id), desk.units)


@pages.action("/drives/{part_id:int}/edit", on_error=edit_part, edits=True)
def change_part(desk: Desk, part_id: int) -> Done:
    kind = store.part(desk.session, part_id).kind
    change_row(desk.session, PARTS, part_id, forms.read_part(desk.reader(), kind))
    return Done(f"/drives/{part_id}", "Saved. Build states keep the figures they were made with.")


def _kind(desk: Desk) -> str:
    """The kind that the address asks for, or ''."""
    kind = desk.query.get("kind", "")
    return kind if kind in PART_KINDS else ""
