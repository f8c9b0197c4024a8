"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.own_fields.fields import FIELDS
from garage.things import Binned, Found, Kind, texts

OWN_FIELD = Kind(
    "own field",
    "own_field",
    title="t.label || ', field of your own'",
    url="'/own-fields'",
    aside="t.set_aside_at IS NOT NULL",
    found=Found(
        "own field", 31, "Fields of your own", texts(*searched(FIELDS, "title")), texts(*searched(FIELDS, "text"))
    ),
    binned=Binned("field of your own", "t.label", "'/own-fields'", "'/own-fields/' || t.id || '/bring-back'"),
)
THINGS = (OWN_FIELD,)
