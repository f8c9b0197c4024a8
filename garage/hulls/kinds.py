"""Hulls as a collection: what the one set of pages says of them."""

from garage.hulls.fields import FIELDS, RETIREMENT_FIELDS
from garage.hulls.first_lists import write_first_lists
from garage.hulls.forms import mind_size
from garage.hulls.tables import Hull
from garage.inventory.collection import Collection, Words

HULLS = Collection(
    Hull,
    "/hulls",
    Words(
        "hull",
        "boats",
        "Each with one history.",
        "The notebook begins with a hull.",
        "Write down the one on your bench. Length and kind are enough for now; everything else can follow.",
        "All runs, states and records stay.",
    ),
    FIELDS,
    RETIREMENT_FIELDS,
    columns=("kind", "length", "material"),
    came="built_on",
    mind=mind_size,
    begin=write_first_lists,
    form="hulls/edit.html",
)
