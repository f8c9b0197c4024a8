"""Routes of outings."""

from garage.outings import sheets, store
from garage.outings.gather import outing_lines, outing_page
from garage.runs.entry.write import begin_outing, water_of
from garage.waters import outing_store
from garage.waters.form_data import start_of
from garage.waters.forms import read_outing
from garage.waters.store import waters
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/outings", "outings/list.html", is_list=True)
def list_outings(desk: Desk) -> sheets.OutingListSheet:
    found = outing_store.outings(desk.session, limit=desk.limit + 1, offset=desk.offset)
    lines = outing_lines(desk.session, found[: desk.limit])
    return sheets.OutingListSheet(lines, desk.page, len(found) > desk.limit)


@pages.sheet("/outings/new", "outings/edit.html")
def new_outing(desk: Desk) -> sheets.OutingFormSheet:
    return sheets.outing_form_sheet(None, waters(desk.session), desk.units, desk.moment)


@pages.action("/outings/new", on_error=new_outing)
def add_outing(desk: Desk) -> Done:
    reader = desk.reader()
    outing = begin_outing(desk.session, reader, desk.moment)
    reader.finish()
    assert outing is not None
    return Done(f"/outings/{outing.id}", "The outing is open.", undo=f"/outings/{outing.id}/set-aside")


@pages.sheet("/outings/{outing_id:int}", "outings/outing.html")
def show_outing(desk: Desk, outing_id: int) -> sheets.OutingSheet:
    return outing_page(desk.session, outing_id, desk.units, page=desk.page, limit=desk.limit, offset=desk.offset)


@pages.sheet("/outings/{outing_id:int}/edit", "outings/edit.html")
def edit_outing(desk: Desk, outing_id: int) -> sheets.OutingFormSheet:
    outing = outing_store.outing(desk.session, outing_id)
    return sheets.outing_form_sheet(outing, waters(desk.session), desk.units, desk.moment)


@pages.action("/outings/{outing_id:int}/edit", on_error=edit_outing, edits=True)
def change_outing(desk: Desk, outing_id: int) -> Done:
    kept, reader = outing_store.outing(desk.session, outing_id), desk.reader()
    water_id = water_of(desk.session, reader, desk.moment)
    began = outing_store.began(kept)
    form = read_outing(reader, began, water_id or 0, was=began)
    why = reader.text("why", most=300)
    for name, words in store.outing_problems(desk.session, kept, start_of(form)).items():
        reader.fail(name, words)
    reader.finish()
    outing_store.change_outing(desk.session, outing_id, form, why, desk.moment)
    return Done(f"/outings/{outing_id}", "Saved.")


@pages.action("/outings/{outing_id:int}/reopen")
def reopen_outing(desk: Desk, outing_id: int) -> Done:
    outing_store.close_outing(desk.session, outing_id, None)
    return Done(f"/outings/{outing_id}", "The outing is open again.")


@pages.action("/outings/{outing_id:int}/set-aside")
def set_aside_outing(desk: Desk, outing_id: int) -> Done:
    store.set_outing_aside(desk.session, outing_id, desk.moment.utc)
    return Done("/outings", "The outing is set aside.", undo=f"/outings/{outing_id}/bring-back")


@pages.action("/outings/{outing_id:int}/bring-back")
def bring_back_outing(desk: Desk, outing_id: int) -> Done:
    store.set_outing_aside(desk.session, outing_id, None)
    return Done(f"/outings/{outing_id}", "The outing is back.")


@pages.action("/outings/{outing_id:int}/wave")
def wave_outing(desk: Desk, outing_id: int) -> Done:
    store.wave_runs_away(desk.session, outing_id, desk.moment.utc)
    undo = f"/outings/{outing_id}/ask-again"
    return Done(f"/outings/{outing_id}", "What is missing is no longer asked for.", undo)


@pages.action("/outings/{outing_id:int}/ask-again")
def ask_again(desk: Desk, outing_id: int) -> Done:
    store.ask_runs_again(desk.session, outing_id)
    return Done(f"/outings/{outing_id}", "What is missing is asked for again.")
