"""The fields of keeping: what every thing that one owns has, an item's entry on the shelf, and lending."""

from dataclasses import replace

from garage.fields.definition import Field

# What is kept of every thing that one owns, wherever it is written down.
PLACE = Field("place", "Place", hint="drawer, box, shelf", most=120, asked="keeping", searched="text")
BOUGHT_ON = Field("bought_on", "Bought on", "date", asked="keeping")
# Price and money make one fact of the page.
PRICE = Field("price", "Price", "number", "", 0, 10_000_000, asked="keeping", listed=False)
CURRENCY = Field(
    "currency", "Money", hint="EUR, or a sign such as €", most=8, asked="keeping", short=True, listed=False
)  # fmt: skip
OWNED = (PLACE, BOUGHT_ON, PRICE, CURRENCY)

# What an entry on the shelf has of it: the day it was bought is kept with the thing itself.
FIELDS = (
    Field(
        "quantity", "How many", "number", "0 if it is only wished for", 0, 1_000_000, required=True, default=1,
        asked="count", listed=False,
    ),
    replace(PRICE, label="Price of one"),
    CURRENCY,
    replace(PLACE, indexed=True, searched="title"),
    Field("supplier", "Supplier", asked="keeping", searched="title"),
    Field("reorder_level", "Buy again at", "number", "how many are left then", 0, 1_000_000, asked="count"),
    Field("wished", "On the wish list", "yes/no", listed=False, indexed=True),
    # Its page has a form with a note of its own.
    Field("shelf_note", "Note", most=300, column="note", searched="text"),
)  # fmt: skip

# There is one of each hull: nobody counts them, or buys them again.
_NOT_OF_HULLS = ("quantity", "reorder_level", "wished")


def fields_of_kind(owner: str) -> tuple[Field, ...]:
    """What is asked for of a thing of kind `owner`."""
    if owner != "hull":
        return FIELDS
    asked = (field for field in FIELDS if field.name not in _NOT_OF_HULLS)
    return tuple(PRICE if field.name == "price" else field for field in asked)


# To whom a thing is lent; `back_on` is asked for only where a past loan is put right.
LOAN_FIELDS = (
    Field("lent_to", "Lent to", required=True, most=120, searched="title"),
    Field("lent_on", "Since", "date", "the day it went"),
    Field("lent_until", "Until when", "date", "may be still to come", future_ok=True),
    Field("back_on", "Back on", "date", "empty while it is not back", asked="back"),
)
LENT_FIELDS = LOAN_FIELDS[:3]
