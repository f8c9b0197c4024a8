"""Routes of one piece of a log: its page, its charts, its speed as the run's, samples brought back."""

from garage.errors import Conflict
from garage.logs import forms, store
from garage.logs.cutting import measure_anew
from garage.logs.pieces import gather as piece_gather
from garage.logs.pieces import sheets as piece_sheets
from garage.logs.pieces.offers import offered
from garage.logs.run_speed import write_speed
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet(
    "/logs/{log_id:int}/pieces/{number:int}",
    "logs/piece.html",
    asks={"from": "where the charts begin, in s", "to": "where they end, in s"},
)
def show_piece(desk: Desk, log_id: int, number: int) -> piece_sheets.PieceSheet:
    return piece_gather.piece_sheet(desk.session, log_id, number, desk.query, desk.units)


@pages.fragment("/logs/{log_id:int}/pieces/{number:int}/trace", "logs/_trace_alone.html")
def show_trace(desk: Desk, log_id: int, number: int) -> piece_sheets.TraceSheet:
    return piece_gather.trace_sheet(desk.session, log_id, number, desk.query, desk.units)


@pages.action("/logs/{log_id:int}/pieces/{number:int}/speed", on_error=show_piece)
def take_speed(desk: Desk, log_id: int, number: int) -> Done:
    row, piece = piece_gather.piece_by_number(desk.session, log_id, number)
    if piece.run_id is None:
        raise Conflict("Say first which run this piece belongs to.")
    offers = offered(piece_gather.looked_at(desk.session, row, piece), row.course_m)
    reader = desk.reader()
    which = reader.choice("which", offers, required=True)
    reader.finish()
    write_speed(desk.session, piece.run_id, offers[which], row.name, desk.moment)
    return Done(f"/runs/{piece.run_id}", f"The run's speed is now: {offers[which]['words']}.")


@pages.action("/logs/{log_id:int}/pieces/{number:int}/restore", on_error=show_piece)
def restore_samples(desk: Desk, log_id: int, number: int) -> Done:
    row, piece = piece_gather.piece_by_number(desk.session, log_id, number)
    form = forms.read_restore(desk.reader(), row.samples)
    kept = store.restore(desk.session, log_id, form.first, form.last, form.why, desk.moment)
    measure_anew(desk.session, row)
    return Done(
        f"/logs/{log_id}/pieces/{number}",
        "They count now, and everything was measured anew.",
        f"/logs/{log_id}/pieces/{number}/restored/{kept.id}/strike",
    )


@pages.action("/logs/{log_id:int}/pieces/{number:int}/restored/{restored_id:int}/strike")
def strike_again(desk: Desk, log_id: int, number: int, restored_id: int) -> Done:
    row, _ = piece_gather.piece_by_number(desk.session, log_id, number)
    store.take_back_restored(desk.session, log_id, restored_id, desk.moment)
    measure_anew(desk.session, row)
    return Done(f"/logs/{log_id}/pieces/{number}", "They are struck out again.")
