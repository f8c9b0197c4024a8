"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.props.fields import EDITION_FIELDS, FIELDS, RETIREMENT_FIELDS
from garage.things import OWN_TEXTS, Found, Kind, takes_fields, texts

PROP = Kind(
    "prop",
    "prop",
    title="t.code || CASE WHEN t.printed_name <> '' THEN ' · ' || t.printed_name ELSE '' END",
    called="trim(t.code || ' ' || t.printed_name)",
    shelved="'Prop ' || t.code",
    url="'/props/' || t.id",
    came="t.bought_on",
    in_use="t.retired_on = ''",
    aside="t.retired_on <> ''",
    found=Found(
        "prop",
        6,
        "Props",
        texts(*searched(FIELDS, "title")),
        texts(*searched((*FIELDS, *RETIREMENT_FIELDS), "text")) + " || ' ' || " + OWN_TEXTS,
        code="code",
    ),
    takes=takes_fields("prop", "Props", (*FIELDS, *EDITION_FIELDS), "prop"),
)
EDITION = Kind(
    "edition",
    "prop_edition",
    joins="JOIN prop ON prop.id = t.prop_id",
    title="prop.code || ' edition ' || t.number || ', ' || t.reworks",
    url="'/props/' || t.prop_id",
    aside="prop.retired_on <> ''",
    at="t.made_at",
    offset_min="t.offset_min",
    found=Found(
        "edition",
        7,
        "Prop editions",
        "'edition ' || {row}.number || ' ' || {row}.reworks",
        texts(*searched(EDITION_FIELDS, "text")),
    ),
)
THINGS = (PROP, EDITION)
