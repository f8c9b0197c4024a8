"""Routes of sets of packs."""

from garage.fields.forms import fresh
from garage.packs import forms, set_store, sheets, store
from garage.packs.fields import SET_FIELDS
from garage.packs.verdict_store import retire_words, with_verdict
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


_NAMED_AS_HINT = 40


@pages.sheet("/packs/sets", "packs/sets.html", is_list=True)
def list_sets(desk: Desk) -> sheets.SetListSheet:
    found = store.pack_sets(desk.session, limit=desk.limit + 1, offset=desk.offset)
    members = set_store.members_of(desk.session, found)
    standings = store.pack_standings(desk.session, list(members))
    in_use = store.packs_in_use(desk.session, limit=_NAMED_AS_HINT)
    retire = retire_words(desk.session, {*members, *(pack.id for pack in in_use)})
    lines = [sheets.set_line(one, members, standings, retire) for one in found[: desk.limit]]
    known = [with_verdict(pack, retire) for pack in in_use]
    return sheets.SetListSheet(lines, known, desk.page, len(found) > desk.limit, fresh(SET_FIELDS, desk.units))


@pages.action("/packs/sets", on_error=list_sets)
def add_set(desk: Desk) -> Done:
    made = set_store.add_set(desk.session, forms.read_set(desk.reader()), desk.moment)
    return Done("/packs/sets", f"{made.name} is a set now.", undo=f"/packs/sets/{made.id}/part")


@pages.action("/packs/sets/{set_id:int}/part")
def part_set(desk: Desk, set_id: int) -> Done:
    kept = set_store.retire_set(desk.session, set_id, desk.today)
    return Done("/packs/sets", f"{kept.name} is no set any more.", undo=f"/packs/sets/{set_id}/return")


@pages.action("/packs/sets/{set_id:int}/return")
def return_set(desk: Desk, set_id: int) -> Done:
    kept = set_store.retire_set(desk.session, set_id, "")
    return Done("/packs/sets", f"{kept.name} is a set again.")
