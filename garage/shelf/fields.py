"""The fields of an inventory item's entry on the shelf."""

from garage.fields.definition import Field

FIELDS = (
    Field(
        "quantity", "How many", "number", "0 if it is only wished for", 0, 1_000_000, required=True, default=1,
        asked="count", listed=False,
    ),
    Field("price", "Price of one", "number", low=0, high=10_000_000, asked="money", listed=False),
    Field("currency", "Money", hint="EUR, or a sign such as €", most=8, asked="money", short=True, listed=False),
    Field("place", "Place", hint="drawer, box, shelf", most=120, searched="title", indexed=True),
    Field("supplier", "Supplier", searched="title"),
    Field("reorder_level", "Buy again at", "number", "how many are left then", 0, 1_000_000, asked="count"),
    Field("wished", "On the wish list", "yes/no", listed=False, indexed=True),
    # Its page has a form with a note of its own.
    Field("shelf_note", "Note", most=300, column="note", searched="text"),
)  # fmt: skip
