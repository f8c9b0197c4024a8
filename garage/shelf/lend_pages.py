"""Routes of lending, the same for all that can be lent: to whom and until when, that it is back, and mending a loan."""

from garage.shelf import forms, lending
from garage.shelf import loan_store as store
from garage.shelf.tables import Loan
from garage.things import Thing
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/lend/{owner}/{owner_id:int}", "shelf/lend.html")
def ask_lend(desk: Desk, owner: str, owner_id: int) -> lending.LendSheet:
    thing = store.lendable_thing(desk.session, desk.things, owner, owner_id)
    return lending.lend_sheet(thing, store.loans_of(desk.session, owner, owner_id), desk.today, desk.units)


@pages.action("/lend/{owner}/{owner_id:int}", on_error=ask_lend)
def lend(desk: Desk, owner: str, owner_id: int) -> Done:
    thing = store.lendable_thing(desk.session, desk.things, owner, owner_id)
    loan = store.lend(desk.session, thing, forms.read_lending(desk.reader(), thing.came), desk.moment)
    return Done(thing.url, f"{thing.name} is {lending.lent_words(loan, desk.today)}.")


@pages.action("/lend/{owner}/{owner_id:int}/back")
def bring_back(desk: Desk, owner: str, owner_id: int) -> Done:
    thing = store.lendable_thing(desk.session, desk.things, owner, owner_id)
    loan = store.bring_back(desk.session, thing, desk.today)
    return Done(thing.url, f"{thing.name} is back from {loan.lent_to}.")


@pages.sheet("/loans/{loan_id:int}", "shelf/loan.html")
def edit_loan(desk: Desk, loan_id: int) -> lending.LoanSheet:
    loan = store.loan(desk.session, loan_id)
    return lending.loan_sheet(loan, _thing(desk, loan), desk.units)


@pages.action("/loans/{loan_id:int}", on_error=edit_loan, edits=True)
def change_loan(desk: Desk, loan_id: int) -> Done:
    thing = _thing(desk, store.loan(desk.session, loan_id))
    store.change_loan(desk.session, loan_id, forms.read_loan(desk.reader(), thing.came))
    return Done(thing.url, "Saved.")


@pages.action("/loans/{loan_id:int}/aside")
def set_loan_aside(desk: Desk, loan_id: int) -> Done:
    loan = store.set_aside_loan(desk.session, loan_id, desk.moment.utc)
    return Done(_thing(desk, loan).url, f"The loan to {loan.lent_to} is set aside.", f"/loans/{loan_id}/return")


@pages.action("/loans/{loan_id:int}/return")
def return_loan(desk: Desk, loan_id: int) -> str:
    return _thing(desk, store.set_aside_loan(desk.session, loan_id, None)).url


def _thing(desk: Desk, loan: Loan) -> Thing:
    return desk.things.thing(desk.session, loan.owner, loan.owner_id)
