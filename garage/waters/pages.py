"""Routes of waters."""

from garage.waters import forms, sheets, store
from garage.web.desk import Desk
from garage.web.pages import RETIRED, Done, Pages

pages = Pages()


@pages.sheet("/waters", "waters/list.html", is_list=True, asks=RETIRED)
def list_waters(desk: Desk) -> sheets.WaterListSheet:
    retired = desk.query.get("retired") == "yes"
    found = store.waters(desk.session, retired=retired, limit=desk.limit + 1, offset=desk.offset)
    return sheets.water_list_sheet(found, retired=retired, page=desk.page, limit=desk.limit)


@pages.sheet("/waters/new", "waters/edit.html")
def new_water(desk: Desk) -> sheets.WaterFormSheet:
    return sheets.water_form_sheet(None, desk.units)


@pages.action("/waters/new", on_error=new_water)
def add_water(desk: Desk) -> Done:
    water = store.add_water(desk.session, forms.read_water(desk.reader()), desk.moment)
    return Done("/waters", f"{water.name} is in the notebook.")


@pages.sheet("/waters/{water_id:int}", "waters/edit.html")
def edit_water(desk: Desk, water_id: int) -> sheets.WaterFormSheet:
    return sheets.water_form_sheet(store.water(desk.session, water_id), desk.units)


@pages.action("/waters/{water_id:int}", on_error=edit_water)
def change_water(desk: Desk, water_id: int) -> Done:
    store.change_water(desk.session, water_id, forms.read_water(desk.reader()))
    return Done("/waters", "Saved.")


@pages.action("/waters/{water_id:int}/retire")
def retire_water(desk: Desk, water_id: int) -> Done:
    water = store.retire_water(desk.session, water_id, desk.today)
    return Done("/waters", f"{water.name} is off the lists.", undo=f"/waters/{water_id}/return")


@pages.action("/waters/{water_id:int}/return")
def return_water(desk: Desk, water_id: int) -> Done:
    water = store.retire_water(desk.session, water_id, "")
    return Done("/waters", f"{water.name} is back on the lists.")
