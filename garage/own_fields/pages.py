"""Routes of a person's own fields: the list, the form, putting one away and bringing it back."""

from garage.own_fields import forms, sheets, store
from garage.own_fields.tables import OwnField
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/own-fields", "own_fields/list.html", is_list=True)
def list_own_fields(desk: Desk) -> sheets.OwnFieldListSheet:
    rows = store.own_fields(desk.session)
    counts = store.counts(desk.session, desk.things, rows)
    return sheets.own_field_list_sheet(rows, counts, desk.things.taking_fields)


@pages.sheet("/own-fields/{thing:str}/new", "own_fields/edit.html")
def new_own_field(desk: Desk, thing: str) -> sheets.OwnFieldFormSheet:
    return sheets.new_own_field_sheet(store.takes(desk.things, thing), desk.units)


@pages.action("/own-fields/{thing:str}/new", on_error=new_own_field)
def add_own_field(desk: Desk, thing: str) -> Done:
    of = store.takes(desk.things, thing)
    form = forms.read_own_field(desk.reader(), store.labels_taken(desk.session, of))
    row = store.add_own_field(desk.session, thing, form, desk.moment, of.names)
    return Done("/own-fields", f"{row.label} is asked for from now on: {of.title.lower()}.")


@pages.sheet("/own-fields/{number:int}/edit", "own_fields/edit.html")
def edit_own_field(desk: Desk, number: int) -> sheets.OwnFieldFormSheet:
    row = store.own_field(desk.session, number)
    return sheets.own_field_form_sheet(
        row, store.takes(desk.things, row.thing), _used(desk, row, ever=True), desk.units
    )


@pages.action("/own-fields/{number:int}/edit", on_error=edit_own_field, edits=True)
def change_own_field(desk: Desk, number: int) -> Done:
    row = store.own_field(desk.session, number)
    of = store.takes(desk.things, row.thing)
    labels = store.labels_taken(desk.session, of, other_than=number)
    form = forms.read_own_field(desk.reader(), labels, row, store.values_of(desk.session, of, number))
    store.change_own_field(desk.session, number, form)
    return Done("/own-fields", "Saved.")


@pages.sheet("/own-fields/{number:int}/put-away", "own_fields/put_away.html")
def ask_put_away(desk: Desk, number: int) -> sheets.PutAwaySheet:
    row = store.own_field(desk.session, number)
    return sheets.PutAwaySheet(
        sheets.own_field_line(row, _used(desk, row)), store.takes(desk.things, row.thing).title
    )  # fmt: skip


@pages.action("/own-fields/{number:int}/put-away", on_error=ask_put_away)
def put_away(desk: Desk, number: int) -> Done:
    row = store.set_own_field_aside(desk.session, number, desk.moment.utc)
    return Done("/own-fields", f"{row.label} is put away.", undo=f"/own-fields/{number}/bring-back")


@pages.action("/own-fields/{number:int}/bring-back")
def bring_back(desk: Desk, number: int) -> Done:
    row = store.set_own_field_aside(desk.session, number, None)
    return Done("/own-fields", f"{row.label} is asked for again.")


def _used(desk: Desk, row: OwnField, *, ever: bool = False) -> int:
    return store.counts(desk.session, desk.things, [row], ever=ever)[row.id]
