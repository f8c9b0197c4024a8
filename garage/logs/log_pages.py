"""Routes of one log: its file, its columns, its pieces and their runs."""

from fastapi.responses import FileResponse

from garage.db.engine import reading
from garage.errors import NotFound
from garage.logs import column_store, forms, gather, sheets, store
from garage.logs.cutting import cut_anew
from garage.logs.denied import note_denied
from garage.logs.intake import as_new, log_path
from garage.logs.readers.delimited import preview
from garage.logs.readers.reading import read_log
from garage.logs.readers.result import UnreadableLog
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/logs/{log_id:int}", "logs/log.html")
def show_log(desk: Desk, log_id: int) -> sheets.LogSheet:
    return gather.log_sheet(desk.session, log_id, desk.units)


@pages.response("/logs/{log_id:int}/file")
def send_file(desk: Desk, log_id: int) -> FileResponse:
    row = store.log(desk.session, log_id)
    path = log_path(desk.request.app.state.settings.files_dir, row.sha256)
    if not path.is_file():
        raise NotFound("The file is no longer in the data folder.")
    return FileResponse(path, media_type="application/octet-stream", filename=row.name)


@pages.action("/logs/{log_id:int}/runs", on_error=show_log)
def give_runs(desk: Desk, log_id: int) -> Done:
    row = store.log(desk.session, log_id)
    pieces = store.pieces_of(desk.session, log_id)
    runs = {value: int(value) for value, _ in gather.run_choices(gather.outing_run_lines(desk.session, row))}
    chosen = forms.read_runs(desk.reader(), [piece.number for piece in pieces], runs)
    store.give_runs(desk.session, pieces, chosen)
    note_denied(desk.session, row, pieces)
    return Done(f"/logs/{log_id}", "Saved.")


@pages.action("/logs/{log_id:int}/cut", on_error=show_log)
def cut_log(desk: Desk, log_id: int) -> Done:
    row = store.log(desk.session, log_id)
    before = gather.cut_words(row, desk.units)
    form = forms.read_cut(desk.reader())
    row.rest_s, row.course_m, row.opposite_within_s = form.rest_s, form.course_m, form.opposite_within_s
    pieces = cut_anew(desk.session, row)
    said = f"Cut and measured anew: {len(pieces)} {'piece' if len(pieces) == 1 else 'pieces'}."
    return Done(f"/logs/{log_id}", f"{said} To have the earlier ones again, cut with {before}.")


@pages.sheet("/logs/{log_id:int}/columns", "logs/columns.html")
def pick_columns(desk: Desk, log_id: int) -> sheets.ColumnsSheet:
    row = store.log(desk.session, log_id)
    path = log_path(desk.request.app.state.settings.files_dir, row.sha256)
    return gather.columns_sheet(desk.session, log_id, path)


@pages.action("/logs/{log_id:int}/columns", on_error=pick_columns)
def keep_columns(desk: Desk, log_id: int) -> Done:
    # The file is read first, so that the notebook is locked for writing only while there is something to write.
    with reading(desk.request.app.state.engine) as looking:
        row = store.log(looking, log_id)
    path = log_path(desk.request.app.state.settings.files_dir, row.sha256)
    looked, reader = preview(path), desk.reader()
    columns = forms.read_columns(reader, looked)
    try:
        new = as_new(read_log(path, columns), row.sha256, row.name, row.size_bytes)
    except UnreadableLog as refused:
        reader.fail("column0", str(refused))
        reader.finish()
        raise
    row = store.log(desk.session, log_id)
    column_store.remember_columns(desk.session, looked.key, looked.headings, columns, desk.moment)
    store.keep_samples(desk.session, row, new, desk.moment)
    cut_anew(desk.session, row)
    return Done(f"/logs/{log_id}", "Read. Files with the same headings are read in the same way from now on.")


@pages.action("/logs/{log_id:int}/aside")
def set_aside(desk: Desk, log_id: int) -> Done:
    row = store.set_aside(desk.session, log_id, desk.moment.utc)
    return Done("/logs", f"{row.name} is set aside.", f"/logs/{log_id}/return")


@pages.action("/logs/{log_id:int}/return")
def bring_back(desk: Desk, log_id: int) -> Done:
    row = store.set_aside(desk.session, log_id, None)
    return Done(f"/logs/{log_id}", f"{row.name} counts again.")
