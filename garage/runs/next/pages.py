"""Routes of what to try next."""

from dataclasses import dataclass

from garage.hulls.store import hull_names
from garage.moments import Moment
from garage.runs.next.store import mark_tried, next_lines
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@dataclass(frozen=True)
class NextLine:
    """One line of what to try next."""

    run_id: int
    started: Moment
    hull_id: int
    hull: str
    text: str


@dataclass(frozen=True)
class NextSheet:
    """What to try next, or what was tried."""

    rows: list[NextLine]
    done: bool
    page: int
    more: bool


@pages.sheet(
    "/runs/try-next",
    "runs/try_next.html",
    is_list=True,
    asks={"done": "“yes” for those done instead of those still to try"},
)
def list_next(desk: Desk) -> NextSheet:
    done = desk.query.get("done") == "yes"
    found = next_lines(desk.session, done=done, limit=desk.limit + 1, offset=desk.offset)
    shown = found[: desk.limit]
    names = hull_names(desk.session, {run.hull_id for run in shown})
    rows = [
        NextLine(
            run.id,
            Moment(run.started_at, run.offset_min),
            run.hull_id,
            names[run.hull_id],
            run.try_next,
        )
        for run in shown
    ]
    return NextSheet(rows, done, desk.page, len(found) > desk.limit)


@pages.action("/runs/{run_id:int}/try-next/done")
def tried(desk: Desk, run_id: int) -> Done:
    run = mark_tried(desk.session, run_id, desk.moment.utc)
    return Done("/runs/try-next", f"Tried: {run.try_next}", f"/runs/{run_id}/try-next/undo")


@pages.action("/runs/{run_id:int}/try-next/undo")
def not_tried(desk: Desk, run_id: int) -> Done:
    run = mark_tried(desk.session, run_id, None)
    return Done("/runs/try-next", f"Still to try: {run.try_next}")
