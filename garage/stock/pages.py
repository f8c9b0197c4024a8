"""Routes of the shelf page and of supplies."""

from garage.photos.store import attachments
from garage.shelf.store import entry
from garage.stock import forms, sheets, shelf_store, store
from garage.web.desk import Desk
from garage.web.pages import RETIRED, Done, Pages

pages = Pages()
MOST_LOW = 50


@pages.sheet("/stock", "stock/shelf.html", is_list=True)
def show_stock(desk: Desk) -> sheets.StockSheet:
    low = shelf_store.low_items(desk.session, limit=MOST_LOW + 1)
    wished = shelf_store.wished_items(desk.session, limit=MOST_LOW + 1)
    rows = shelf_store.items_by_place(desk.session, limit=desk.limit + 1, offset=desk.offset)
    money = shelf_store.spent(desk.session)
    return sheets.stock_sheet(low, wished, rows, money, most=MOST_LOW, page=desk.page, limit=desk.limit)


@pages.sheet("/stock/supplies", "stock/supplies.html", is_list=True, asks=RETIRED)
def list_supplies(desk: Desk) -> sheets.SupplyListSheet:
    retired = desk.query.get("retired") == "yes"
    found = store.supplies(desk.session, retired=retired, limit=desk.limit + 1, offset=desk.offset)
    return sheets.supply_list_sheet(found, retired=retired, page=desk.page, limit=desk.limit)


@pages.sheet("/stock/supplies/new", "stock/edit.html")
def new_supply(desk: Desk) -> sheets.SupplyFormSheet:
    return sheets.new_supply_sheet(store.suggested_code(desk.session), desk.units)


@pages.action("/stock/supplies/new", on_error=new_supply)
def add_supply(desk: Desk) -> Done:
    supply = store.add_supply(desk.session, forms.read_supply(desk.reader()), desk.moment)
    return Done(f"/shelf/supply/{supply.id}", f"{supply.name} is in the notebook. How many are there?")


@pages.sheet("/stock/supplies/{supply_id:int}", "stock/supply.html")
def show_supply(desk: Desk, supply_id: int) -> sheets.SupplySheet:
    supply = store.supply(desk.session, supply_id)
    rows = attachments(desk.session, "supply", supply_id)
    return sheets.supply_sheet(supply, entry(desk.session, "supply", supply_id), rows)


@pages.sheet("/stock/supplies/{supply_id:int}/edit", "stock/edit.html")
def edit_supply(desk: Desk, supply_id: int) -> sheets.SupplyFormSheet:
    return sheets.supply_form_sheet(store.supply(desk.session, supply_id), desk.units)


@pages.action("/stock/supplies/{supply_id:int}/edit", on_error=edit_supply)
def change_supply(desk: Desk, supply_id: int) -> Done:
    store.change_supply(desk.session, supply_id, forms.read_supply(desk.reader()))
    return Done(f"/stock/supplies/{supply_id}", "Saved.")


@pages.action("/stock/supplies/{supply_id:int}/retire")
def retire_supply(desk: Desk, supply_id: int) -> Done:
    supply = store.retire_supply(desk.session, supply_id, desk.today)
    url = f"/stock/supplies/{supply_id}"
    return Done(url, f"{supply.name} is no longer bought.", undo=f"{url}/return")


@pages.action("/stock/supplies/{supply_id:int}/return")
def return_supply(desk: Desk, supply_id: int) -> Done:
    supply = store.retire_supply(desk.session, supply_id, "")
    return Done(f"/stock/supplies/{supply_id}", f"{supply.name} is back in use.")
