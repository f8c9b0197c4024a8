"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.drives.fields import FIELDS, RETIREMENT_FIELDS
from garage.fields.definition import searched
from garage.things import OWN_TEXTS, Found, Kind, takes_fields, texts

PART = Kind(
    "part",
    "part",
    title="t.code || ' · ' || t.kind || CASE WHEN t.name <> '' THEN ', ' || t.name ELSE '' END",
    called="trim(t.code || ' ' || t.kind || ' ' || t.name)",
    shelved="t.code || ' · ' || t.kind",
    url="'/drives/' || t.id",
    came="t.bought_on",
    in_use="t.retired_on = ''",
    aside="t.retired_on <> ''",
    found=Found(
        "drive",
        9,
        "Drives",
        texts(*searched(FIELDS, "title")),
        texts(*searched((*FIELDS, *RETIREMENT_FIELDS), "text")) + " || ' ' || " + OWN_TEXTS,
        code="code",
    ),
    takes=takes_fields("part", "Drives and other hardware", FIELDS, "part"),
)
THINGS = (PART,)
