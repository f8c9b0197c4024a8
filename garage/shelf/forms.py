"""Text to a shelf entry or a loan, or messages beside the fields."""

import re

from garage.fields.definition import Field, FormData
from garage.fields.forms import read
from garage.moments import day_text
from garage.shelf.fields import LENT_FIELDS, LOAN_FIELDS, fields_of_kind
from garage.web.fields import Reader

_CURRENCY = re.compile(r"[^\W\d_]{1,8}|[€$£¥₹₩₽]")


def read_shelf(reader: Reader, owner: str) -> FormData:
    """The entry of a thing of kind `owner` typed into the form, by column. Raises FormErrors."""
    form = read(fields_of_kind(owner), reader)
    mind_money(reader, form)
    reader.finish()
    return form


def mind_money(reader: Reader, form: FormData) -> None:
    """Put a message beside the money when it is none, or when a price stands without it. Does not raise."""
    price, currency = form["price"], form["currency"]
    if currency and not _CURRENCY.fullmatch(currency):
        reader.fail("currency", "Letters or a sign only, such as EUR or €.")
    if price is not None and not currency:
        reader.fail("currency", "In which money is the price?")


def read_lending(reader: Reader, came: str) -> FormData:
    """To whom, since when and until when a thing that `came` on a day is lent, as typed into the form, by column.
    Raises FormErrors."""
    return _read_loan(reader, LENT_FIELDS, came)


def read_loan(reader: Reader, came: str = "") -> FormData:
    """A loan that is put right, with the day the thing came back. Raises FormErrors."""
    return _read_loan(reader, LOAN_FIELDS, came)


def _read_loan(reader: Reader, fields: tuple[Field, ...], came: str) -> FormData:
    form = read(fields, reader)
    began = form["lent_on"]
    if began and form["lent_until"] and form["lent_until"] < began:
        reader.fail("lent_until", "That is before the day it went.")
    if began and form.get("back_on") and form["back_on"] < began:
        reader.fail("back_on", "That is before the day it went.")
    if began and came and began < came and not reader.flag("went_before"):
        reader.fail(
            "went_before", f"It is there since {day_text(came)}, and this is before. Tick this if it went then."
        )
    reader.finish()
    return form
