"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.things import OWN_TEXTS, Binned, Found, Kind, takes_fields, texts
from garage.waters.fields import FIELDS, OUTING_FIELDS, RETIREMENT_FIELDS

WATER = Kind(
    "water",
    "water",
    title="t.name",
    url="'/waters/' || t.id",
    aside="t.retired_on <> ''",
    found=Found(
        "water",
        10,
        "Waters",
        texts(*searched(FIELDS, "title")),
        texts(*searched((*FIELDS, *RETIREMENT_FIELDS), "text")),
    ),
)
_CALLED = "'outing of ' || substr(t.started_at, 1, 10) || ', ' || water.name"
OUTING = Kind(
    "outing",
    "outing",
    joins="JOIN water ON water.id = t.water_id",
    title="'Outing, ' || water.name",
    called=_CALLED,
    url="'/outings/' || t.id",
    in_use="t.set_aside_at IS NULL",
    aside="t.set_aside_at IS NOT NULL",
    at="t.started_at",
    offset_min="t.offset_min",
    found=Found(
        "outing",
        11,
        "Outings",
        "substr({row}.started_at, 1, 10)",
        texts(*searched(OUTING_FIELDS, "text"), "surface") + " || ' ' || " + OWN_TEXTS,
    ),
    binned=Binned("outing", _CALLED, "'/outings/' || t.id", "'/outings/' || t.id || '/bring-back'"),
    takes=takes_fields("outing", "Outings", OUTING_FIELDS, "outing"),
)
THINGS = (WATER, OUTING)
