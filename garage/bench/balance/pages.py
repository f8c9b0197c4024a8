"""Routes of the balance sheet of a build state."""

from dataclasses import replace

from garage.bench.balance import forms, store
from garage.bench.balance.sheets import BalancePage, balance_page
from garage.bench.balance.starting_parts import starting_lines
from garage.hulls.store import hull
from garage.modifications.work_mended import work_as_mended
from garage.states.store import state_by_number, state_content
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


_PAGE = "/hulls/{hull_id:int}/states/{number:int}/balance"


def _here(hull_id: int, number: int) -> str:
    return f"/hulls/{hull_id}/states/{number}/balance"


@pages.sheet(_PAGE, "bench/balance.html")
def show_balance(desk: Desk, hull_id: int, number: int) -> BalancePage:
    """Parts with places, and what was weighed."""
    boat, found = hull(desk.session, hull_id), state_by_number(desk.session, hull_id, number)
    content, kept = state_content(found), store.latest_sheet(desk.session, found)
    [fitted] = work_as_mended(desk.session, [content.fitted])
    content = replace(content, fitted=fitted)
    if kept is None:
        lines, packs_from = starting_lines(desk.session, boat, content)
        parts, told = "\n".join(lines), f"masses as written down{packs_from}; add places, and what is missing"
    else:
        parts, told = kept[0].parts, f"as kept for build state {kept[1]}"
    return balance_page(boat, found, content, parts, told, store.scale_readings(desk.session, found.id))


@pages.action(_PAGE, on_error=show_balance)
def keep_sheet(desk: Desk, hull_id: int, number: int) -> Done:
    """Keep the parts for this state."""
    found = state_by_number(desk.session, hull_id, number)
    kept = store.add_sheet(desk.session, found, forms.read_parts(desk.reader()), desk.moment)
    here = _here(hull_id, number)
    return Done(here, "The balance sheet is kept.", undo=f"{here}/{kept.id}/set-aside")


@pages.action(_PAGE + "/{sheet_id:int}/set-aside")
def take_sheet_back(desk: Desk, hull_id: int, number: int, sheet_id: int) -> Done:
    """The sheet before it stands again."""
    store.set_sheet_aside(desk.session, state_by_number(desk.session, hull_id, number), sheet_id, desk.moment.utc)
    return Done(_here(hull_id, number), "The balance sheet is as it was before.")


@pages.action(_PAGE + "/scales", on_error=show_balance)
def keep_scales(desk: Desk, hull_id: int, number: int) -> Done:
    """Keep what two scales read."""
    found = state_by_number(desk.session, hull_id, number)
    kept = store.add_scale_reading(desk.session, found.id, forms.read_scales(desk.reader()), desk.moment)
    here = _here(hull_id, number)
    return Done(f"{here}#scales", "The weighing is kept.", undo=f"{here}/scales/{kept.id}/set-aside")


@pages.action(_PAGE + "/scales/{reading_id:int}/set-aside")
def set_scales_aside(desk: Desk, hull_id: int, number: int, reading_id: int) -> Done:
    """A weighing that was none."""
    found = state_by_number(desk.session, hull_id, number)
    store.set_scale_reading_aside(desk.session, found.id, reading_id, desk.moment.utc)
    here = _here(hull_id, number)
    return Done(f"{here}#scales", "The weighing is set aside.", undo=f"{here}/scales/{reading_id}/bring-back")


@pages.action(_PAGE + "/scales/{reading_id:int}/bring-back")
def bring_scales_back(desk: Desk, hull_id: int, number: int, reading_id: int) -> Done:
    """A weighing set aside by mistake."""
    found = state_by_number(desk.session, hull_id, number)
    store.set_scale_reading_aside(desk.session, found.id, reading_id, None)
    return Done(f"{_here(hull_id, number)}#scales", "The weighing is back.")
