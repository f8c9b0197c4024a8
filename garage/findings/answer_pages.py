"""Routes of answers: the list, one answer, runs put in and out, all effects of a hull."""

from garage.errors import NotFound
from garage.findings import sheets, store
from garage.findings.cause_forms import read_causes
from garage.findings.gather import answer_sheet
from garage.findings.hull_gather import hull_effects_sheet
from garage.findings.list_gather import finding_list_sheet
from garage.runs.store import run
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/findings", "findings/list.html", is_list=True)
def list_findings(desk: Desk) -> sheets.FindingListSheet:
    found = store.findings(desk.session, limit=desk.limit + 1, offset=desk.offset)
    return finding_list_sheet(desk.session, found[: desk.limit], desk.page, len(found) > desk.limit)


@pages.sheet(
    "/findings/{finding_id:int}",
    "findings/answer.html",
    asks={"outcome": "the outcome that is drawn, as the page’s own links name it"},
)
def show_finding(desk: Desk, finding_id: int) -> sheets.AnswerSheet:
    return answer_sheet(
        desk.session, store.finding(desk.session, finding_id), desk.query.get("outcome", ""), desk.units
    )


@pages.action("/findings/{finding_id:int}/runs/{run_id:int}/{side:str}")
def choose_run(desk: Desk, finding_id: int, run_id: int, side: str) -> Done:
    hull_id = store.finding(desk.session, finding_id).hull_id
    if side not in ("in", "out") or run(desk.session, run_id).hull_id != hull_id:
        raise NotFound("There is no such run to put in or out of this question.")
    store.choose_run(desk.session, finding_id, run_id, side == "in", desk.moment.utc)
    other = "out" if side == "in" else "in"
    said = "The run counts now." if side == "in" else "The run no longer counts."
    return Done(f"/findings/{finding_id}#runs", said, undo=f"/findings/{finding_id}/runs/{run_id}/{other}")


@pages.action("/findings/{finding_id:int}/causes", on_error=show_finding)
def keep_causes(desk: Desk, finding_id: int) -> Done:
    numbers = read_causes(desk.reader(), desk.typed.all("causes"))
    store.keep_causes(desk.session, finding_id, numbers)
    said = "Of your own fields these may be causes now." if numbers else "None of your own fields is taken for a cause."
    return Done(f"/findings/{finding_id}#causes", said)


@pages.action("/findings/{finding_id:int}/noticed")
def notice(desk: Desk, finding_id: int) -> str:
    store.finding(desk.session, finding_id)
    store.mark_noticed(desk.session, finding_id, desk.moment.utc)
    return f"/findings/{finding_id}"


@pages.sheet("/hulls/{hull_id:int}/findings", "findings/hull.html")
def show_hull_effects(desk: Desk, hull_id: int) -> sheets.HullEffectsSheet:
    return hull_effects_sheet(desk.session, hull_id, desk.units)
