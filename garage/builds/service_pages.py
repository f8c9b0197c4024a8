"""Routes of service: writing one down, setting it aside, and the rules of when one is due."""

from garage.builds import service_forms, service_sheets, service_store
from garage.builds.routes import pages
from garage.hulls.store import hull as one_hull
from garage.web.desk import Desk
from garage.web.pages import Done


@pages.sheet("/hulls/{hull_id:int}/service", "builds/services.html", is_list=True)
def services(desk: Desk, hull_id: int) -> service_sheets.ServiceListSheet:
    hull = one_hull(desk.session, hull_id)
    rows = service_store.services(desk.session, hull_id, limit=desk.limit + 1, offset=desk.offset)
    return service_sheets.service_list_sheet(hull, rows, desk.page, desk.limit)


@pages.sheet("/hulls/{hull_id:int}/service/new", "builds/service.html")
def new_service(desk: Desk, hull_id: int) -> service_sheets.ServiceFormSheet:
    hull = one_hull(desk.session, hull_id)
    return service_sheets.service_form_sheet(hull, desk.moment, desk.query.get("kind", ""))


@pages.act("/hulls/{hull_id:int}/service/new", again=new_service)
def add_service(desk: Desk, hull_id: int) -> Done:
    draft = service_forms.read_service(desk.reader(), one_hull(desk.session, hull_id))
    kept = service_store.add_service(desk.session, hull_id, draft, desk.moment)
    said = f"Written down: {kept.kind}, {draft.at.day()}."
    return Done(f"/hulls/{hull_id}", said, undo=f"/service/{kept.id}/aside")


@pages.act("/service/{service_id:int}/aside")
def aside(desk: Desk, service_id: int) -> Done:
    kept = service_store.set_aside_service(desk.session, service_id, desk.moment.utc)
    return Done(
        f"/hulls/{kept.hull_id}/service", f"Set aside: {kept.kind}.", undo=f"/service/{kept.id}/return"
    )


@pages.act("/service/{service_id:int}/return")
def bring_back(desk: Desk, service_id: int) -> Done:
    kept = service_store.set_aside_service(desk.session, service_id, None)
    return Done(f"/hulls/{kept.hull_id}/service", f"Counts again: {kept.kind}.")


@pages.sheet("/hulls/{hull_id:int}/service/rules", "builds/service_rules.html")
def rules(desk: Desk, hull_id: int) -> service_sheets.RulesSheet:
    hull = one_hull(desk.session, hull_id)
    return service_sheets.rules_sheet(hull, service_store.service_rules(desk.session, hull_id), desk.units)


@pages.act("/hulls/{hull_id:int}/service/rules", again=rules)
def keep_rules(desk: Desk, hull_id: int) -> Done:
    service_store.keep_rules(desk.session, hull_id, service_forms.read_rules(desk.reader()))
    return Done(f"/hulls/{hull_id}/service", "Saved.")
