"""Routes of past runs kept in a spreadsheet so far: bring the file, say what its columns are, look, take in."""

from garage.errors import Conflict, NotFound
from garage.past_runs import forms, sheets, store
from garage.past_runs.importing import PastRuns, offered_hulls
from garage.past_runs.reading import SheetOfRows, read_table
from garage.past_runs.tables import PastImport
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
SHOWN_GOOD = 20


@pages.sheet("/import", "past_runs/list.html", is_list=True)
def list_imports(desk: Desk) -> sheets.ImportListSheet:
    found = store.past_imports(desk.session, limit=desk.limit + 1, offset=desk.offset)
    return sheets.import_list_sheet(found, desk.page, desk.limit)


@pages.action("/import", on_error=list_imports)
def bring_file(desk: Desk) -> Done:
    files_dir = desk.request.app.state.settings.files_dir
    name, part = forms.read_file(desk.reader(), desk.typed.files("sheet"), files_dir)
    table = read_table(forms.stored_at(files_dir, part.sha256).read_bytes())
    new = store.add_import(desk.session, name, part, forms.first_choices(table, desk.units), desk.moment)
    return Done(f"/import/{new.id}", "Nothing is taken in yet. Say what the columns are.", back_to="/import")


@pages.sheet("/import/{import_id:int}", "past_runs/one.html", is_list=True)
def show_import(desk: Desk, import_id: int) -> sheets.ImportSheet:
    found = store.past_import(desk.session, import_id)
    return sheets.import_sheet(
        found, _table(desk, found), store.choices_of(found), offered_hulls(desk.session),
        store.outcome_of(desk.session, import_id),
        store.lines_of(desk.session, import_id, refused=True, limit=desk.limit + 1, offset=desk.offset),
        store.lines_of(desk.session, import_id, refused=False, limit=SHOWN_GOOD),
        desk.page, desk.limit, store.taken_in_before(desk.session, found),
    )  # fmt: skip


@pages.action("/import/{import_id:int}", on_error=show_import)
def look(desk: Desk, import_id: int) -> Done:
    found = store.past_import(desk.session, import_id)
    table = _table(desk, found)
    choices = forms.read_choices(desk.reader(), len(table.headings))
    store.keep_choices(desk.session, found, choices)
    trial = desk.session.begin_nested()
    lines = PastRuns(desk.session, import_id, choices, desk.moment, desk.units).take_in(table)
    trial.rollback()
    for line in lines:
        line.run_id = None
    store.keep_lines(desk.session, found, lines, desk.moment)
    return Done(f"/import/{import_id}", "Looked through; nothing is taken in yet.")


@pages.action("/import/{import_id:int}/take-in", on_error=show_import)
def take_in(desk: Desk, import_id: int) -> Done:
    found = store.past_import(desk.session, import_id)
    if found.looked_at is None or found.taken_in_at is not None:
        raise Conflict("Look through it first; and it can be taken in only once.")
    if store.taken_in_before(desk.session, found) is not None and not desk.reader().flag("once_more"):
        raise Conflict("The very same file was taken in already: every run in it would stand in the notebook twice.")
    past = PastRuns(desk.session, import_id, store.choices_of(found), desk.moment, desk.units)
    lines = past.take_in(_table(desk, found))
    store.keep_lines(desk.session, found, lines, desk.moment)
    store.note_outings(desk.session, import_id, past.new_outings)
    found.taken_in_at = desk.moment.utc
    good = sum(1 for line in lines if not line.refused)
    return Done(f"/import/{import_id}", f"{good} runs are in the notebook.", undo=f"/import/{import_id}/take-back")


@pages.action("/import/{import_id:int}/take-back")
def take_back(desk: Desk, import_id: int) -> Done:
    count = store.set_import_aside(desk.session, import_id, desk.moment.utc)
    undo = f"/import/{import_id}/bring-back"
    return Done(f"/import/{import_id}", f"{count} runs are set aside and count nowhere.", undo=undo)


@pages.action("/import/{import_id:int}/bring-back")
def bring_back(desk: Desk, import_id: int) -> Done:
    count = store.set_import_aside(desk.session, import_id, None)
    return Done(f"/import/{import_id}", f"{count} runs count again.", undo=f"/import/{import_id}/take-back")


def _table(desk: Desk, found: PastImport) -> SheetOfRows:
    path = forms.stored_at(desk.request.app.state.settings.files_dir, found.sha256)
    if not path.is_file():
        raise NotFound("The spreadsheet is no longer in the data folder.")
    return read_table(path.read_bytes())
