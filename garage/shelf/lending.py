"""What lending says: on the page of a thing, in a list, and beside a choice."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from garage.fields.definition import Field
from garage.fields.forms import fill
from garage.fields.showing import FieldValues, values
from garage.moments import day_text
from garage.reference import Caution, cautions
from garage.shelf.fields import LENT_FIELDS, LOAN_FIELDS
from garage.shelf.tables import Loan
from garage.things import Thing
from garage.units import DisplayUnits

# Nobody has it.
AT_HOME = Loan(lent_to="", owner="", owner_id=0, created_at="")


@dataclass(frozen=True)
class LoanLine:
    """One loan of a thing: who had it, from when to when."""

    id: int
    fields: Annotated[FieldValues, LOAN_FIELDS]


@dataclass(frozen=True)
class Lending:
    """Who has a thing (`lent`, in words, with the day it is due), and all that had it."""

    lent: str
    loans: list[LoanLine]


@dataclass(frozen=True)
class LendSheet:
    """The form to lend a thing, or to say anew to whom it is lent, with who had it before."""

    owner: str
    owner_id: int
    name: str
    url: str
    lent: str
    loans: list[LoanLine]
    cautions: list[Caution]
    values: dict[str, str]
    fields: tuple[Field, ...] = LENT_FIELDS


@dataclass(frozen=True)
class LoanSheet:
    """The form that puts one loan right."""

    id: int
    name: str
    url: str
    set_aside: bool
    values: dict[str, str]
    fields: tuple[Field, ...] = LOAN_FIELDS


def lent_words(loan: Loan | None, today: str) -> str:
    """To whom a thing is lent, and whether it should be back by `today`; '' for one at home."""
    if loan is None:
        return ""
    if not loan.lent_until:
        return lent_to(loan)
    due = "was due back" if loan.lent_until < today else "due back"
    return f"{lent_to(loan)}, {due} {day_text(loan.lent_until)}"


def standing_of(thing: Any, loan: Loan | None, today: str) -> str:
    """The same in the line of a list; for a thing out of use nobody waits."""
    return "" if thing.retired_on else lent_words(loan, today)


def lent_to(loan: Loan | None) -> str:
    """The plain word beside a choice; '' for a thing at home."""
    return f"lent to {loan.lent_to}" if loan else ""


def named_lent(name: str, loan: Loan | None) -> str:
    """A thing as a choice names it, with the plain word if it is lent; it may be chosen all the same."""
    return f"{name} · {lent_to(loan)}" if loan else name


def lent_values(loan: Loan | None) -> FieldValues:
    """To whom, since when and until when a thing is lent; empty for one at home."""
    return values(LENT_FIELDS, loan or AT_HOME)


def lending(loans: Sequence[Loan], today: str, waited_for: bool = True) -> Lending:
    """What the page of a thing says of all its `loans`; one out of use is not `waited_for`."""
    return Lending(lent_words(open_one(loans), today) if waited_for else "", [_line(one) for one in loans])


def open_one(loans: Sequence[Loan]) -> Loan | None:
    """The loan of a thing that is away, of all its loans."""
    return next((one for one in loans if not one.back_on), None)


def lend_sheet(thing: Thing, loans: Sequence[Loan], today: str, units: DisplayUnits) -> LendSheet:
    """The form to lend `thing`, on the day itself most often, or to change to whom it is lent."""
    away = open_one(loans)
    typed = fill(LENT_FIELDS, away, units) if away else {"lent_on": today}
    told = lending(loans, today)
    warned = [cautions()[key] for key in (("lipo_charging", "lipo_swollen") if thing.owner == "pack" else ())]
    return LendSheet(thing.owner, thing.id, thing.name, thing.url, told.lent, told.loans, warned, typed)


def loan_sheet(loan: Loan, thing: Thing, units: DisplayUnits) -> LoanSheet:
    """The form of `loan`, of `thing`."""
    return LoanSheet(loan.id, thing.name, thing.url, loan.set_aside_at is not None, fill(LOAN_FIELDS, loan, units))


def _line(loan: Loan) -> LoanLine:
    return LoanLine(loan.id, values(LOAN_FIELDS, loan))
