"""Routes of service: writing one down, setting it aside, and the rules of when one is due."""

from garage.hulls.store import hull as one_hull
from garage.moments import Moment
from garage.services import forms as service_forms
from garage.services import sheets as service_sheets
from garage.services import store as service_store
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/hulls/{hull_id:int}/service", "services/list.html", is_list=True)
def services(desk: Desk, hull_id: int) -> service_sheets.ServiceListSheet:
    hull = one_hull(desk.session, hull_id)
    rows = service_store.services(desk.session, hull_id, limit=desk.limit + 1, offset=desk.offset)
    return service_sheets.service_list_sheet(hull, rows, desk.page, desk.limit)


@pages.sheet(
    "/hulls/{hull_id:int}/service/new",
    "services/edit.html",
    asks={"kind": "the kind of service to begin with"},
)
def new_service(desk: Desk, hull_id: int) -> service_sheets.ServiceFormSheet:
    hull = one_hull(desk.session, hull_id)
    return service_sheets.service_form_sheet(hull, desk.moment, desk.query.get("kind", ""), desk.units)


@pages.action("/hulls/{hull_id:int}/service/new", on_error=new_service)
def add_service(desk: Desk, hull_id: int) -> Done:
    form = service_forms.read_service(desk.reader(), one_hull(desk.session, hull_id))
    kept = service_store.add_service(desk.session, hull_id, form, desk.moment)
    said = f"Written down: {kept.kind}, {Moment(kept.at, kept.offset_min).day()}."
    return Done(f"/hulls/{hull_id}", said, undo=f"/service/{kept.id}/aside")


@pages.action("/service/{service_id:int}/aside")
def aside(desk: Desk, service_id: int) -> Done:
    kept = service_store.set_aside_service(desk.session, service_id, desk.moment.utc)
    return Done(f"/hulls/{kept.hull_id}/service", f"Set aside: {kept.kind}.", undo=f"/service/{kept.id}/return")


@pages.action("/service/{service_id:int}/return")
def bring_back(desk: Desk, service_id: int) -> Done:
    kept = service_store.set_aside_service(desk.session, service_id, None)
    return Done(f"/hulls/{kept.hull_id}/service", f"Counts again: {kept.kind}.")


@pages.sheet("/hulls/{hull_id:int}/service/rules", "services/rules.html")
def rules(desk: Desk, hull_id: int) -> service_sheets.RulesSheet:
    hull = one_hull(desk.session, hull_id)
    return service_sheets.rules_sheet(hull, service_store.service_rules(desk.session, hull_id), desk.units)


@pages.action("/hulls/{hull_id:int}/service/rules", on_error=rules, edits=True)
def keep_rules(desk: Desk, hull_id: int) -> Done:
    service_store.keep_rules(desk.session, hull_id, service_forms.read_rules(desk.reader()))
    return Done(f"/hulls/{hull_id}/service", "Saved.")
