"""Routes of collections: one set of pages, made anew for each; for those of this room here."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from sqlmodel import Session

from garage.corrections.tables import MAY_BE_SAME
from garage.fields.definition import FormData
from garage.fields.showing import values
from garage.inventory import forms, sheets, store
from garage.inventory.collection import Collection
from garage.inventory.kinds import COLLECTIONS
from garage.inventory.sameness import Sameness, sameness
from garage.inventory.shapes import list_type, thing_type
from garage.own_fields.at_hand import own
from garage.photos.receipts import FIELD as RECEIPT_FIELD
from garage.photos.receipts import attach_receipts
from garage.photos.store import attachments, receipts
from garage.shelf.loan_store import loans_of, open_loans
from garage.things import Thing
from garage.web.desk import Desk
from garage.web.pages import RETIRED, Done, Pages

# What speaks against a thing, '' if nothing does.
Verdict = Callable[[Session, int], str]
# What some things have in the fields that a person added, by id: something with the columns of these.
OwnRows = Callable[[Session, Iterable[int]], Mapping[int, Any]]


def _no_verdict(_session: Session, _row_id: int) -> str:
    return ""


def add_pages(pages: Pages, collection: Collection) -> None:
    """The whole set for one collection: list, new, the thing itself, edit, retire and return."""
    add_list(pages, collection)
    add_new(pages, collection)
    if collection.has_page:
        _add_thing(pages, collection)
    add_edit(pages, collection)
    add_retiring(pages, collection)


def add_list(pages: Pages, collection: Collection, own_rows: OwnRows | None = None) -> None:
    """The list, and its further side with those out of use; `own_rows` reads what its things have in own fields."""

    @pages.sheet(collection.url, "inventory/list.html", is_list=True, asks=RETIRED)
    def list_rows(desk: Desk) -> sheets.ListSheet:
        retired = desk.query.get("retired") == "yes"
        rows = store.rows_of(desk.session, collection, retired=retired, limit=desk.limit + 1, offset=desk.offset)
        lent = open_loans(desk.session, collection.owner, [row.id for row in rows]) if collection.is_lent else {}
        found = own_rows(desk.session, [row.id for row in rows]) if own_rows else {}
        told = {row_id: values(own(collection.owner), row) for row_id, row in found.items()}
        return sheets.list_sheet(
            collection, rows, lent, told, desk.today, retired=retired, page=desk.page, limit=desk.limit
        )

    list_rows.__annotations__["return"] = list_type(collection, takes_own=own_rows is not None)


def add_new(pages: Pages, collection: Collection) -> None:
    """The form of a new thing."""

    @pages.sheet(f"{collection.url}/new", collection.form)
    def new_row(desk: Desk) -> sheets.FormSheet:
        return sheets.new_sheet(collection, desk.units, collection.suggest(desk))

    @pages.action(f"{collection.url}/new", on_error=new_row)
    def add_row(desk: Desk) -> Done:
        form = forms.read_row(collection, desk.reader())
        row = store.add_row(desk.session, collection, form, desk.moment)
        _attach_receipts(desk, collection, row)
        if _same(desk, collection, row).alike:
            return Done(collection.form_address(row.id), f"{collection.called(row)} is in the notebook.")
        return Done(*collection.after_adding(row))


def _add_thing(pages: Pages, collection: Collection) -> None:
    @pages.sheet(f"{collection.url}/{{row_id:int}}", collection.template)
    def show_row(desk: Desk, row_id: int) -> sheets.ThingSheet:
        row = store.row_of(desk.session, collection, row_id)
        loans = loans_of(desk.session, collection.owner, row_id) if collection.is_lent else []
        rows = attachments(desk.session, collection.owner, row_id)
        paid = receipts(desk.session, collection.owner, row_id, rows)
        beside = collection.beside(desk.session, row, paid) if collection.beside else None
        return sheets.thing_sheet(collection, row, loans, paid, desk.today, rows, beside)

    show_row.__annotations__["return"] = thing_type(collection)


def add_edit(pages: Pages, collection: Collection) -> None:
    """The form of a thing that is there."""
    address = collection.form_address("{row_id:int}")

    @pages.sheet(address, collection.form)
    def edit_row(desk: Desk, row_id: int) -> sheets.FormSheet:
        row = store.row_of(desk.session, collection, row_id)
        return sheets.form_sheet(collection, row, desk.units, _same(desk, collection, row))

    @pages.action(address, on_error=edit_row, edits=True)
    def change_row(desk: Desk, row_id: int) -> Done:
        row = store.change_row(desk.session, collection, row_id, forms.read_row(collection, desk.reader()))
        _attach_receipts(desk, collection, row)
        return Done(collection.home(row_id), "Saved.")


def _same(desk: Desk, collection: Collection, row: Any) -> Sameness:
    """What a thing that has no page but its form is one with, or looks like."""
    told_here = collection.owner in MAY_BE_SAME and not collection.has_page
    return sameness(desk.session, collection, row, collection.called) if told_here else Sameness()


def _attach_receipts(desk: Desk, collection: Collection, row: Any) -> None:
    if collection.asks_price and (uploads := desk.typed.files(RECEIPT_FIELD)):
        of = Thing(collection.owner, row.id, collection.called(row), collection.home(row.id))
        files_dir = desk.request.app.state.settings.files_dir
        attach_receipts(desk.session, files_dir, of, desk.reader(), uploads, desk.moment)


def add_retiring(pages: Pages, collection: Collection, verdict: Verdict = _no_verdict) -> None:
    """The ways out of use and back; `verdict` tells what speaks against a thing, for the page that asks."""
    if collection.asks_when_retired:
        _add_asking_retirement(pages, collection, verdict)
    else:
        _add_retirement_at_once(pages, collection)

    @pages.action(f"{collection.url}/{{row_id:int}}/return")
    def return_row(desk: Desk, row_id: int) -> Done:
        row = store.return_row(desk.session, collection, row_id)
        return Done(collection.home(row_id), f"{collection.called(row)} is {collection.words.back}.")


def _add_asking_retirement(pages: Pages, collection: Collection, verdict: Verdict) -> None:
    @pages.sheet(f"{collection.url}/{{row_id:int}}/retire", "inventory/retire.html")
    def ask_retire(desk: Desk, row_id: int) -> sheets.RetireSheet:
        row = store.row_of(desk.session, collection, row_id)
        return sheets.retire_sheet(collection, row, desk.today, verdict(desk.session, row_id))

    @pages.action(f"{collection.url}/{{row_id:int}}/retire", on_error=ask_retire)
    def retire_row(desk: Desk, row_id: int) -> Done:
        row = store.row_of(desk.session, collection, row_id)
        last_run = desk.rests.last_run_of(desk.session, collection.owner, row_id)
        return _retired(desk, collection, row_id, forms.read_retirement(collection, row, desk.reader(), last_run))


def _add_retirement_at_once(pages: Pages, collection: Collection) -> None:
    @pages.action(f"{collection.url}/{{row_id:int}}/retire")
    def retire_row(desk: Desk, row_id: int) -> Done:
        return _retired(desk, collection, row_id, {"retired_on": desk.today})


def _retired(desk: Desk, collection: Collection, row_id: int, form: FormData) -> Done:
    was_in_use = not store.row_of(desk.session, collection, row_id).retired_on
    row = store.retire_row(desk.session, collection, row_id, form)
    said = f"{collection.called(row)} is {collection.words.gone}."
    # Retired once more, from a page opened before: taking that back leaves it retired as it was.
    return Done(collection.home(row_id), said, undo=f"{collection.url}/{row_id}/return" if was_in_use else "")


pages = Pages()
for _collection in COLLECTIONS:
    add_pages(pages, _collection)
