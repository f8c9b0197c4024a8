"""What holds of every thing that one owns: what it cost, and to whom it is lent."""

from typing import Any

from garage.fields.definition import FormData
from garage.fields.showing import Fact
from garage.moments import day_text
from garage.shelf.forms import refuse_unclear_money
from garage.shelf.sheets import price_text
from garage.web.fields import Reader


def mind_owned(reader: Reader, form: FormData) -> None:
    """Put a message beside a price without money, and beside a day until which nobody has it. Does not raise."""
    refuse_unclear_money(reader, form["price"], form["currency"])
    if form["lent_until"] and not form["lent_to"]:
        reader.fail("lent_to", "Who has it until then?")


def price_fact(row: Any) -> list[Fact]:
    """What it cost, if that is written down."""
    return [Fact("Price", None, price_text(row.price, row.currency), "")] if row.price is not None else []


def lent(row: Any, today: str) -> str:
    """To whom it is lent, and whether it should be back by `today`; '' for a thing at home or retired."""
    if not row.lent_to or row.retired_on:
        return ""
    if not row.lent_until:
        return f"lent to {row.lent_to}"
    day = day_text(row.lent_until)
    return f"lent to {row.lent_to}, {'was due back' if row.lent_until < today else 'due back'} {day}"
