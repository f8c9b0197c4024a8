"""Routes of props: the form, reworks, mending, retiring. Lists and a prop's own page are in items/."""

from garage.inventory.pages import add_retiring
from garage.inventory.store import change_row
from garage.props import forms, sheets, store
from garage.props.kinds import PROPS
from garage.props.size import UnclearSize, read_size
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
add_retiring(pages, PROPS)


@pages.sheet("/props/new", "props/edit.html")
def new_prop(desk: Desk) -> sheets.PropFormSheet:
    asked = dict(desk.query) if "size" in desk.query else {}
    code, reading = store.suggest_code(desk.session), _reading(asked.get("size", ""))
    return sheets.new_prop_sheet(code, asked, reading, desk.units)


@pages.fragment("/props/size", "props/_size.html")
def read_written_size(desk: Desk) -> sheets.ReadingSheet:
    return _reading(desk.query.get("size", ""))


@pages.action("/props/new", on_error=new_prop)
def add_prop(desk: Desk) -> Done:
    new = forms.read_new_prop(desk.reader())
    prop = store.add_prop(desk.session, new, desk.moment)
    return Done(f"/props/{prop.id}", f"{prop.code} is in the notebook. {new.understood}")


@pages.sheet("/props/{prop_id:int}/edit", "props/edit.html")
def edit_prop(desk: Desk, prop_id: int) -> sheets.PropFormSheet:
    return sheets.prop_form_sheet(store.prop(desk.session, prop_id), desk.units)


@pages.action("/props/{prop_id:int}/edit", on_error=edit_prop, edits=True)
def change_prop(desk: Desk, prop_id: int) -> Done:
    change_row(desk.session, PROPS, prop_id, forms.read_prop(desk.reader()))
    return Done(f"/props/{prop_id}", "Saved.")


@pages.sheet("/props/{prop_id:int}/rework", "props/rework.html")
def ask_rework(desk: Desk, prop_id: int) -> sheets.ReworkSheet:
    prop = store.prop(desk.session, prop_id)
    return sheets.rework_sheet(prop, store.latest_edition(desk.session, prop_id), desk.moment)


@pages.action("/props/{prop_id:int}/rework", on_error=ask_rework)
def rework_prop(desk: Desk, prop_id: int) -> Done:
    prop, before = store.prop(desk.session, prop_id), store.latest_edition(desk.session, prop_id)
    rework = forms.read_rework(desk.reader(), desk.typed.all("reworks"), prop, before)
    made = store.add_edition(desk.session, before, rework, desk.moment)
    undo = f"/props/{prop_id}/editions/{made.number}/take-back"
    return Done(f"/props/{prop_id}", f"{prop.code} is now edition {made.number}.", undo)


@pages.action("/props/{prop_id:int}/editions/{number:int}/take-back")
def take_back_rework(desk: Desk, prop_id: int, number: int) -> Done:
    store.take_back_edition(desk.session, prop_id, number)
    return Done(f"/props/{prop_id}", f"Edition {number} is taken back.")


@pages.sheet("/props/{prop_id:int}/editions/{number:int}/mend", "props/mend.html")
def ask_mending(desk: Desk, prop_id: int, number: int) -> sheets.ReworkSheet:
    edition = store.edition(desk.session, prop_id, number)
    return sheets.mending_sheet(store.prop(desk.session, prop_id), edition, desk.units)


@pages.action("/props/{prop_id:int}/editions/{number:int}/mend", on_error=ask_mending)
def mend_edition(desk: Desk, prop_id: int, number: int) -> Done:
    prop, edition = store.prop(desk.session, prop_id), store.edition(desk.session, prop_id, number)
    mending = forms.read_mending(desk.reader(), prop.blades, edition)
    store.mend_edition(desk.session, edition, mending, desk.moment)
    return Done(f"/props/{prop_id}", f"Edition {number} is mended; what stood there before is kept.")


def _reading(written: str) -> sheets.ReadingSheet:
    if not written.strip():
        return sheets.ReadingSheet()
    try:
        return sheets.reading_sheet(read_size(written))
    except UnclearSize as unclear:
        return sheets.ReadingSheet(question=str(unclear))
