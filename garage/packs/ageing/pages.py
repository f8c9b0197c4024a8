"""Routes of how a pack ages."""

from garage.packs import store
from garage.packs.ageing import sheets as ageing_sheets
from garage.packs.ageing.store import history
from garage.packs.verdict_store import verdicts
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.sheet("/packs/{pack_id:int}/ageing", "packs/ageing.html", asks={"by": "which of the ways of reading, from 0"})
def show_ageing(desk: Desk, pack_id: int) -> ageing_sheets.AgeingSheet:
    pack = store.pack(desk.session, pack_id)
    found = history(desk.session, pack, desk.moment)
    verdict = verdicts(desk.session, [pack_id])[pack_id]
    asked = desk.query.get("by", "0")
    return ageing_sheets.ageing_sheet(pack, found, verdict, asked, desk.today, desk.units)
