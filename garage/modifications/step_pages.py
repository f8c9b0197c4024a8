"""Routes of steps: the form, ticking, order, setting aside, mending a slip, and the mass while typing."""

from garage.errors import Conflict
from garage.hulls.store import hull
from garage.modifications import step_forms, step_sheets
from garage.modifications import step_store as store
from garage.modifications import store as modification_store
from garage.modifications.step_store import own_materials
from garage.modifications.tables import Step
from garage.photos import sheets as photo_sheets
from garage.photos import store as photos
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


_STEP = "/steps/{step_id:int}"


@pages.sheet("/modifications/{modification_id:int}/steps/new", "modifications/step_edit.html")
def new_step(desk: Desk, modification_id: int) -> step_sheets.StepFormSheet:
    modification = modification_store.modification(desk.session, modification_id)
    begun = step_forms.begun_values(desk.query)
    boat = hull(desk.session, modification.hull_id)
    return step_sheets.step_form_sheet(boat, modification, None, own_materials(desk.session), desk.units, begun=begun)


@pages.action("/modifications/{modification_id:int}/steps/new", on_error=new_step)
def add_step(desk: Desk, modification_id: int) -> Done:
    form = step_forms.read_step(desk.reader(), own_materials(desk.session))
    added = store.add_step(desk.session, modification_id, form, desk.moment)
    said = f"Written: {added.action} {added.what}".strip()
    work = f"/modifications/{modification_id}"
    return Done(f"{work}#step-{added.id}", said, back_to=f"{work}#work")


@pages.fragment("/steps/mass", "modifications/_step_mass.html")
def show_mass(desk: Desk) -> step_sheets.MassPreview:
    return step_sheets.mass_preview(*step_forms.read_unfinished_piece(desk.query_reader(), own_materials(desk.session)))


@pages.sheet(_STEP, "modifications/step.html")
def show_step(desk: Desk, step_id: int) -> step_sheets.StepSheet:
    session, kept = desk.session, store.step(desk.session, step_id)
    slips = store.corrections_of(session, [step_id])
    [mended] = store.as_mended([kept], slips)
    order = [row.id for row in store.steps(session, kept.modification_id)]
    line = step_sheets.step_line(
        mended,
        order.index(step_id) + 1 if step_id in order else 0,
        desk.moment,
        frozen=step_id in desk.rests.frozen_steps(session, [kept.modification_id]),
        mended=step_sheets.mended_lines(slips.get(step_id, []), desk.units),
    )
    attached = photo_sheets.attached("step", step_id, photos.attachments(session, "step", step_id))
    work = modification_store.modification(session, kept.modification_id)
    boat = hull(session, work.hull_id)
    adhesive = step_sheets.adhesive_named(mended.adhesive)
    return step_sheets.StepSheet(boat.id, boat.name, work.id, work.title, line, adhesive, attached)


@pages.sheet(_STEP + "/edit", "modifications/step_edit.html")
def edit_step(desk: Desk, step_id: int) -> step_sheets.StepFormSheet:
    return _form(desk, step_id, mending=False)


@pages.action(_STEP + "/edit", on_error=edit_step, edits=True)
def change_step(desk: Desk, step_id: int) -> Done:
    form = step_forms.read_step(desk.reader(), own_materials(desk.session))
    return Done(_line_of(store.change_step(desk.session, step_id, form, desk.moment, desk.rests)), "Saved.")


@pages.sheet(_STEP + "/mend", "modifications/step_edit.html")
def ask_mend(desk: Desk, step_id: int) -> step_sheets.StepFormSheet:
    return _form(desk, step_id, mending=True)


@pages.action(_STEP + "/mend", on_error=ask_mend)
def mend(desk: Desk, step_id: int) -> Done:
    form = step_forms.read_mend(desk.reader(), own_materials(desk.session))
    store.mend_step(desk.session, step_id, form, desk.moment)
    return Done(_line_of(store.step(desk.session, step_id)), "Mended. What stood there is kept beside it.")


@pages.action(_STEP + "/tick")
def tick(desk: Desk, step_id: int) -> str:
    return _line_of(store.tick_step(desk.session, step_id, desk.moment.utc, desk.rests))


@pages.action(_STEP + "/untick")
def untick(desk: Desk, step_id: int) -> str:
    return _line_of(store.tick_step(desk.session, step_id, None, desk.rests))


@pages.action(_STEP + "/up")
def move_up(desk: Desk, step_id: int) -> str:
    return _line_of(store.move_step(desk.session, step_id, -1, desk.rests))


@pages.action(_STEP + "/down")
def move_down(desk: Desk, step_id: int) -> str:
    return _line_of(store.move_step(desk.session, step_id, 1, desk.rests))


@pages.action(_STEP + "/set-aside")
def set_aside(desk: Desk, step_id: int) -> Done:
    kept = store.set_step_aside(desk.session, step_id, desk.moment.utc, desk.rests)
    said = f"Set aside: {kept.action} {kept.what}".strip()
    return Done(f"/modifications/{kept.modification_id}#work", said, undo=f"/steps/{step_id}/bring-back")


@pages.action(_STEP + "/bring-back")
def bring_back(desk: Desk, step_id: int) -> str:
    return _line_of(store.set_step_aside(desk.session, step_id, None, desk.rests))


def _form(desk: Desk, step_id: int, *, mending: bool) -> step_sheets.StepFormSheet:
    kept = store.step(desk.session, step_id)
    is_frozen = step_id in desk.rests.frozen_steps(desk.session, [kept.modification_id])
    if mending and not is_frozen:
        raise Conflict("No run rests on this step yet, so it can simply be edited.")
    modification = modification_store.modification(desk.session, kept.modification_id)
    [mended] = store.as_mended([kept], store.corrections_of(desk.session, [step_id]))
    boat, own = hull(desk.session, modification.hull_id), own_materials(desk.session)
    return step_sheets.step_form_sheet(boat, modification, mended, own, desk.units, mending=is_frozen)


def _line_of(step: Step) -> str:
    return f"/modifications/{step.modification_id}#step-{step.id}"
