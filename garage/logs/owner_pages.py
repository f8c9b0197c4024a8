"""Routes of the logs of a run, of an outing, of all, and of a boat's corners."""

from collections.abc import Iterator
from contextlib import contextmanager

from fastapi.responses import JSONResponse

from garage.db.engine import reading
from garage.errors import NotFound
from garage.logs import corner_sheets, gather, sheets, store
from garage.logs.intake import ReadUpload, TakenIn, read_uploads, take_in
from garage.logs.progress import progress_at, shown_at
from garage.runs.store import run
from garage.waters.outing_store import outing
from garage.web.desk import MOST_FILES, Desk
from garage.web.pages import Done, Pages

pages = Pages()


# So many notes on a file are said at once; all of them stand on its page.
_MOST_NOTES = 2


@pages.sheet("/logs", "logs/list.html", is_list=True)
def list_logs(desk: Desk) -> sheets.LogListSheet:
    found = store.logs(desk.session, limit=desk.limit + 1, offset=desk.offset)
    return sheets.LogListSheet(
        [sheets.log_line(row) for row in found[: desk.limit]], desk.page, len(found) > desk.limit
    )


@pages.sheet("/runs/{run_id:int}/logs", "logs/owner.html")
def run_logs(desk: Desk, run_id: int) -> sheets.OwnerLogsSheet:
    return gather.run_logs(desk.session, run_id, desk.units)


@pages.fragment("/runs/{run_id:int}/logs/short", "logs/_short.html")
def run_logs_in_short(desk: Desk, run_id: int) -> sheets.OwnerLogsSheet:
    return gather.run_logs(desk.session, run_id, desk.units)


@pages.action("/runs/{run_id:int}/logs", on_error=run_logs)
def add_to_run(desk: Desk, run_id: int) -> Done:
    with _read(desk) as files:
        found = run(desk.session, run_id)
        return _taken(desk, files, found.outing_id, run_id)


@pages.sheet("/outings/{outing_id:int}/logs", "logs/owner.html")
def outing_logs(desk: Desk, outing_id: int) -> sheets.OwnerLogsSheet:
    return gather.outing_logs(desk.session, outing_id, desk.units)


@pages.action("/outings/{outing_id:int}/logs", on_error=outing_logs)
def add_to_outing(desk: Desk, outing_id: int) -> Done:
    with _read(desk) as files:
        outing(desk.session, outing_id)
        return _taken(desk, files, outing_id, None)


@pages.sheet("/hulls/{hull_id:int}/corners", "logs/corners.html")
def hull_corners(desk: Desk, hull_id: int) -> corner_sheets.HullCornersSheet:
    return gather.hull_corners(desk.session, hull_id)


@pages.response("/logs/reading")
def reading_progress(desk: Desk) -> JSONResponse:
    percent, words = progress_at(desk.query.get("at", ""))
    return JSONResponse({"percent": percent, "words": words})


@contextmanager
def _read(desk: Desk) -> Iterator[list[ReadUpload]]:
    """The files of the form, read before anything is asked of the desk's session: reading a long log takes its
    time, and nobody else could write meanwhile."""
    reader = desk.reader()
    uploads = desk.typed.files("log_files")
    if not uploads:
        reader.fail("log_files", "Choose a file.")
        reader.finish()
    state = desk.request.app.state
    with (
        shown_at(desk.request.url.path, len(uploads)) as progress,
        read_uploads(lambda: reading(state.engine), state.settings.files_dir, uploads, progress) as files,
    ):
        yield files


def _taken(desk: Desk, files: list[ReadUpload], outing_id: int, run_id: int | None) -> Done:
    """Write down what was read; what could not be read is said, and keeps nothing else from being kept."""
    files_dir = desk.request.app.state.settings.files_dir
    course = gather.course_for(desk.session, outing_id)
    taken = take_in(desk.session, files_dir, files, outing_id, run_id, course, desk.moment)
    if not taken.kept:
        reader = desk.reader()
        reader.fail("log_files", " ".join(taken.refused))
        reader.finish()
    back = desk.request.url.path
    ids = "-".join(str(row.id) for row in taken.kept)
    return Done(f"/logs/{taken.waiting.id}/columns" if taken.waiting else back, _said(taken), f"/logs/many/{ids}/aside")


@pages.action("/logs/many/{ids}/aside")
def set_many_aside(desk: Desk, ids: str) -> Done:
    names = [store.set_aside(desk.session, log_id, desk.moment.utc).name for log_id in _numbers(ids)]
    return Done("/logs", f"Set aside: {', '.join(names)}.", f"/logs/many/{ids}/return")


@pages.action("/logs/many/{ids}/return")
def bring_many_back(desk: Desk, ids: str) -> Done:
    names = [store.set_aside(desk.session, log_id, None).name for log_id in _numbers(ids)]
    return Done("/logs", f"These count again: {', '.join(names)}.", f"/logs/many/{ids}/aside")


def _numbers(ids: str) -> list[int]:
    """The logs named in an address like `3-4`. Raises NotFound for anything else."""
    parts = ids.split("-")
    if len(parts) > MOST_FILES or not all(part.isascii() and part.isdigit() and len(part) < 16 for part in parts):
        raise NotFound("There is no such log in this notebook.")
    return [int(part) for part in parts]


def _said(taken: TakenIn) -> str:
    read = [row.name for row in taken.kept if row.read_at]
    waiting = [row.name for row in taken.kept if not row.read_at]
    said = [f"Read: {', '.join(read)}."] if read else []
    said += [f"{row.name}: {note}" for row in taken.kept for note in sheets.notes_of(row)[:_MOST_NOTES]]
    said += [f"Say which column is what in {', '.join(waiting)}."] if waiting else []
    return " ".join(said + [f"Not kept: {reason}" for reason in taken.refused])
