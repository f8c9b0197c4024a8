"""Routes of drives: the list, and each part's own page."""

from garage.drives import store
from garage.drives.figures import PART_KINDS
from garage.drives.kinds import PARTS
from garage.drives.texts import part_text
from garage.inventory.sameness import sameness
from garage.items import drive_sheets as sheets
from garage.items.drive_store import installed_in, part_events
from garage.photos.store import attachments, receipts
from garage.shelf.loan_store import open_loans
from garage.shelf.store import kept
from garage.web.desk import Desk
from garage.web.pages import RETIRED, Pages

pages = Pages()


@pages.sheet("/drives", "items/drives.html", is_list=True, asks={"kind": "only parts of this kind", **RETIRED})
def list_drives(desk: Desk) -> sheets.DriveListSheet:
    asked, retired = desk.query.get("kind", ""), desk.query.get("retired") == "yes"
    kind = asked if asked in PART_KINDS else ""
    found = store.parts(desk.session, kind=kind, retired=retired, limit=desk.limit + 1, offset=desk.offset)
    ids = [part.id for part in found]
    installed, lent = installed_in(desk.session, ids), open_loans(desk.session, "part", ids)
    kinds = store.kinds_written(desk.session)
    return sheets.drive_list_sheet(
        found, installed, lent, kinds, today=desk.today, kind=kind, retired=retired, page=desk.page, limit=desk.limit
    )


@pages.sheet("/drives/{part_id:int}", "items/drive.html")
def show_drive(desk: Desk, part_id: int) -> sheets.DriveSheet:
    part = store.part(desk.session, part_id)
    events = part_events(desk.session, part_id)
    rows = attachments(desk.session, "part", part_id)
    return sheets.drive_sheet(
        part,
        events,
        rows,
        receipts(desk.session, "part", part_id, rows),
        kept(desk.session, "part", part_id),
        desk.today,
        sameness(desk.session, PARTS, part, lambda row: part_text(row).text),
    )
