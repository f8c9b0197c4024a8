"""Routes of packs: the list and each one's own page."""

from garage.inventory.sameness import sameness
from garage.items.packs import sheets
from garage.items.packs.plan_store import plan_of
from garage.items.use_store import use_of_pack
from garage.packs import set_store, store
from garage.packs.care_store import care_of
from garage.packs.kinds import PACKS
from garage.packs.log import store as log_store
from garage.packs.log.cycles_store import use_before
from garage.packs.log.mended import said_before
from garage.packs.verdict_store import retire_words, verdicts
from garage.photos.store import attachments, receipts
from garage.shelf.loan_store import open_loans
from garage.shelf.store import kept as how_kept
from garage.web.desk import Desk
from garage.web.pages import RETIRED, RUNS_PAGE, Pages

pages = Pages()


RUNS_SHOWN, LOG_SHOWN, READINGS_SHOWN = 20, 8, 6


@pages.sheet("/packs", "items/packs.html", is_list=True, asks=RETIRED)
def list_packs(desk: Desk) -> sheets.PackListSheet:
    retired = desk.query.get("retired") == "yes"
    found = store.packs(desk.session, retired=retired, limit=desk.limit + 1, offset=desk.offset)
    standings = store.pack_standings(desk.session, [pack.id for pack in found])
    retire = retire_words(desk.session, standings)
    lent = open_loans(desk.session, "pack", standings)
    return sheets.pack_list_sheet(
        found, standings, retire, lent, today=desk.today, retired=retired, page=desk.page, limit=desk.limit
    )


@pages.sheet("/packs/{pack_id:int}", "items/pack.html", asks=RUNS_PAGE)
def show_pack(desk: Desk, pack_id: int) -> sheets.PackSheet:
    pack, session = store.pack(desk.session, pack_id), desk.session
    verdict = verdicts(session, [pack_id])[pack_id]
    rows = attachments(session, "pack", pack_id)
    log = log_store.log_entries(session, pack_id, limit=LOG_SHOWN)
    readings = log_store.readings(session, pack_id, limit=READINGS_SHOWN)
    kept = sheets.PackRows(
        log,
        readings,
        set_store.sets_of_pack(session, pack_id),
        rows,
        receipts(session, "pack", pack_id, rows),
        how_kept(session, "pack", pack_id),
        care_of(session, [pack_id])[pack_id],
        use_before(session, [pack_id])[pack_id],
        plan_of(session, pack),
        verdict,
        sameness(session, PACKS, pack, lambda row: store.pack_text(row).text),
        said_before(session, "pack_log", [row.id for row in log]),
        said_before(session, "reading", [row.id for row in readings]),
    )
    use = use_of_pack(session, pack_id, {pack_id: verdict.words}, page=desk.page, limit=RUNS_SHOWN)
    return sheets.pack_sheet(pack, store.pack_standings(session, [pack_id])[pack_id], kept, use, desk.moment)
