"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.stock.fields import FIELDS
from garage.things import Found, Kind, texts

SUPPLY = Kind(
    "supply",
    "supply",
    title="t.code || ' · ' || t.name",
    called="trim(t.code || ' ' || t.name)",
    shelved="t.name",
    url="'/stock/supplies/' || t.id",
    in_use="t.retired_on = ''",
    aside="t.retired_on <> ''",
    found=Found(
        "supply",
        15,
        "Supplies",
        texts(*searched(FIELDS, "title")),
        texts(*searched(FIELDS, "text")),
        code="code",
    ),
)
THINGS = (SUPPLY,)
