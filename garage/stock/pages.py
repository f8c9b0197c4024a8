"""Routes of the shelf page and of supplies."""

from garage.inventory.pages import add_pages
from garage.stock import sheets, shelf_store
from garage.stock.supplies import SUPPLIES
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()
add_pages(pages, SUPPLIES)
MOST_LOW = 50


@pages.sheet("/stock", "stock/shelf.html", is_list=True)
def show_stock(desk: Desk) -> sheets.StockSheet:
    low = shelf_store.low_items(desk.session, limit=MOST_LOW + 1)
    wished = shelf_store.wished_items(desk.session, limit=MOST_LOW + 1)
    rows = shelf_store.items_by_place(desk.session, limit=desk.limit + 1, offset=desk.offset)
    money = shelf_store.spent(desk.session)
    return sheets.stock_sheet(low, wished, rows, money, most=MOST_LOW, page=desk.page, limit=desk.limit)
