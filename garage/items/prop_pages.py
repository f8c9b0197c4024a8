"""Routes of props: the list and each one's own page."""

from garage.corrections.store import corrections_of
from garage.inventory.sameness import sameness
from garage.items import prop_sheets as sheets
from garage.items.prop_slip_store import slips_of
from garage.items.use_store import use_of_prop
from garage.photos.store import attachments, receipts
from garage.props import store
from garage.props.kinds import PROPS
from garage.shelf.loan_store import open_loans
from garage.shelf.store import kept
from garage.web.desk import Desk
from garage.web.pages import RETIRED, RUNS_PAGE, Pages

pages = Pages()


RUNS_SHOWN = 20


@pages.sheet("/props", "items/props.html", is_list=True, asks=RETIRED)
def list_props(desk: Desk) -> sheets.PropListSheet:
    retired = desk.query.get("retired") == "yes"
    found = store.props(desk.session, retired=retired, limit=desk.limit + 1, offset=desk.offset)
    lent = open_loans(desk.session, "prop", [prop.id for prop, _ in found])
    return sheets.prop_list_sheet(found, lent, today=desk.today, retired=retired, page=desk.page, limit=desk.limit)


@pages.sheet("/props/{prop_id:int}", "items/prop.html", asks=RUNS_PAGE)
def show_prop(desk: Desk, prop_id: int) -> sheets.PropSheet:
    prop, editions = store.prop(desk.session, prop_id), store.editions(desk.session, prop_id)
    mended = corrections_of(desk.session, "edition", [one.id for one in editions])
    use = use_of_prop(desk.session, prop_id, page=desk.page, limit=RUNS_SHOWN)
    rows = attachments(desk.session, "prop", prop_id)
    paid, lies = receipts(desk.session, "prop", prop_id, rows), kept(desk.session, "prop", prop_id)
    slips = slips_of(desk.session, prop_id, use.runs)
    same = sameness(desk.session, PROPS, prop, lambda row: f"{row.code} {row.printed_name}".strip())
    return sheets.prop_sheet(prop, editions, mended, use, slips, rows, paid, lies, desk.today, desk.units, same)
