"""Routes of a pack's log and of its resistance readings."""

from garage.packs import forms, sheets, store
from garage.packs.log import reading_sheets
from garage.packs.log import store as log_store
from garage.packs.log.cycles import cycles_of
from garage.packs.log.cycles_store import day_after, use_before
from garage.packs.log.mended import said_before
from garage.packs.verdict_store import retire_word
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet(
    "/packs/{pack_id:int}/log",
    "packs/log.html",
    is_list=True,
    asks={"until": "the day up to which cycles are counted", "kind": "the kind of entry to begin with"},
)
def show_log(desk: Desk, pack_id: int) -> sheets.LogSheet:
    pack = store.pack(desk.session, pack_id)
    rows = log_store.log_entries(desk.session, pack_id, limit=desk.limit + 1, offset=desk.offset)
    standing = store.pack_standings(desk.session, [pack_id])[pack_id]
    asked = desk.query_reader()
    as_of = sheets.AsOf(asked.date("until"), asked.errors.get("until", ""))
    before = day_after(as_of.day, desk.moment.offset_min)
    cycles = cycles_of(pack, use_before(desk.session, [pack_id], before)[pack_id])
    kind = desk.query.get("kind", "")
    retire = retire_word(desk.session, pack_id)
    mended = said_before(desk.session, "pack_log", [row.id for row in rows])
    return sheets.log_sheet(
        pack, rows, standing, cycles, as_of, desk.moment, desk.page, desk.limit, kind, retire, mended
    )  # fmt: skip


@pages.action("/packs/{pack_id:int}/log", on_error=show_log)
def add_log_entry(desk: Desk, pack_id: int) -> Done:
    pack = store.pack(desk.session, pack_id)
    form = forms.read_log_entry(desk.reader(), pack.cells_s, pack.capacity_mah)
    entry = log_store.add_log_entry(desk.session, pack_id, form, desk.moment)
    undo = f"/packs/{pack_id}/log/{entry.id}/set-aside"
    return Done(f"/packs/{pack_id}/log", f"Written down: {sheets.LOG_WORDS[entry.kind]}.", undo)


@pages.action("/packs/{pack_id:int}/log/{entry_id:int}/set-aside")
def set_entry_aside(desk: Desk, pack_id: int, entry_id: int) -> Done:
    log_store.set_aside_log_entry(desk.session, pack_id, entry_id, desk.moment.utc)
    undo = f"/packs/{pack_id}/log/{entry_id}/return"
    return Done(f"/packs/{pack_id}/log", "Set aside: it does not count any more.", undo)


@pages.action("/packs/{pack_id:int}/log/{entry_id:int}/return")
def return_entry(desk: Desk, pack_id: int, entry_id: int) -> Done:
    log_store.set_aside_log_entry(desk.session, pack_id, entry_id, None)
    return Done(f"/packs/{pack_id}/log", "It counts again.")


@pages.sheet("/packs/{pack_id:int}/readings", "packs/readings.html", is_list=True)
def show_readings(desk: Desk, pack_id: int) -> reading_sheets.ReadingsSheet:
    pack = store.pack(desk.session, pack_id)
    rows = log_store.readings(desk.session, pack_id, limit=desk.limit + 1, offset=desk.offset)
    retire = retire_word(desk.session, pack_id)
    mended = said_before(desk.session, "reading", [row.id for row in rows])
    return reading_sheets.readings_sheet(pack, rows, desk.moment, desk.page, desk.limit, retire, mended)


@pages.action("/packs/{pack_id:int}/readings", on_error=show_readings)
def add_reading(desk: Desk, pack_id: int) -> Done:
    cells_s = store.pack(desk.session, pack_id).cells_s
    form = forms.read_reading(desk.reader(), cells_s)
    reading = log_store.add_reading(desk.session, pack_id, form, desk.moment)
    undo = f"/packs/{pack_id}/readings/{reading.id}/set-aside"
    return Done(f"/packs/{pack_id}/readings", "The reading is written down.", undo)


@pages.action("/packs/{pack_id:int}/readings/{reading_id:int}/set-aside")
def set_reading_aside(desk: Desk, pack_id: int, reading_id: int) -> Done:
    log_store.set_aside_reading(desk.session, pack_id, reading_id, desk.moment.utc)
    undo = f"/packs/{pack_id}/readings/{reading_id}/return"
    return Done(f"/packs/{pack_id}/readings", "The reading is set aside.", undo)


@pages.action("/packs/{pack_id:int}/readings/{reading_id:int}/return")
def return_reading(desk: Desk, pack_id: int, reading_id: int) -> Done:
    log_store.set_aside_reading(desk.session, pack_id, reading_id, None)
    return Done(f"/packs/{pack_id}/readings", "The reading is back.")
