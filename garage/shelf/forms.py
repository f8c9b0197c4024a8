"""Text to a shelf entry, or messages beside the fields."""

import re

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.shelf.fields import FIELDS
from garage.web.fields import Reader

_CURRENCY = re.compile(r"[^\W\d_]{1,8}|[€$£¥₹₩₽]")


def read_shelf(reader: Reader) -> FormData:
    """The entry typed into the form, by column. Raises FormErrors."""
    form = read(FIELDS, reader)
    refuse_unclear_money(reader, form["price"], form["currency"])
    reader.finish()
    return form


def refuse_unclear_money(reader: Reader, price: float | None, currency: str) -> None:
    """Put a message beside the money when it is none, or when a price stands without it. Does not raise."""
    if currency and not _CURRENCY.fullmatch(currency):
        reader.fail("currency", "Letters or a sign only, such as EUR or €.")
    if price is not None and not currency:
        reader.fail("currency", "In which money is the price?")
