"""Routes for planning the day: the best next runs of a question, kept, printed, and ticked off as they come in."""

from garage.calc.effect.answer import half_width_percent
from garage.errors import NotFound
from garage.findings import sheets, store
from garage.findings.plan.gather import COUNTS, Planning, plan_sheet, planning
from garage.findings.plan.store import Wanted
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


def _planning(desk: Desk, finding_id: int) -> Planning:
    said = desk.typed or desk.request.query_params
    text = said.get("runs", "4")
    count = int(text) if text in map(str, COUNTS) else 4
    listed = desk.typed.all if desk.typed else desk.request.query_params.getlist
    # Nothing ticked in the form that was sent means nothing; nothing said at all means everything there is.
    sides, packs = (listed(name) or ([] if f"{name}s" in listed("offered") else None) for name in ("side", "pack"))
    wanted = Wanted(sides, packs, said.get("once") == "yes")
    return planning(desk.session, store.finding(desk.session, finding_id), count, wanted, desk.units)


@pages.sheet("/findings/{finding_id:int}/plan", "findings/plan.html")
def show_plan(desk: Desk, finding_id: int) -> sheets.PlanSheet:
    return plan_sheet(desk.session, _planning(desk, finding_id))


@pages.action("/findings/{finding_id:int}/plan", on_error=show_plan)
def keep_plan(desk: Desk, finding_id: int) -> Done:
    made = _planning(desk, finding_id)
    plan = made.following.plan if made.following else None
    if plan is None:
        return Done(f"/findings/{finding_id}/plan", "There is nothing to plan.")
    widths = half_width_percent(plan.sd_now), half_width_percent(plan.sd_after)
    store.plan_day(desk.session, finding_id, made.words_to_keep, widths, desk.moment.utc)
    return Done(f"/findings/{finding_id}/plan", "The day is planned.", undo=f"/findings/{finding_id}/plan/drop")


@pages.action("/findings/{finding_id:int}/plan/drop")
def drop_plan(desk: Desk, finding_id: int) -> Done:
    store.drop_plan(desk.session, finding_id, desk.moment.utc)
    return Done(f"/findings/{finding_id}/plan", "The plan is set aside.")


@pages.action("/findings/{finding_id:int}/plan/{planned_id:int}/{mark:str}")
def tick(desk: Desk, finding_id: int, planned_id: int, mark: str) -> str:
    if mark not in ("tick", "untick"):
        raise NotFound("A planned run is ticked or unticked.")
    store.tick_planned(desk.session, finding_id, planned_id, desk.moment.utc if mark == "tick" else None)
    return f"/findings/{finding_id}/plan"
