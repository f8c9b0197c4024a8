"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.services.fields import FIELDS
from garage.things import Binned, Found, Kind, texts

SERVICE = Kind(
    "service",
    "service",
    joins="JOIN hull ON hull.id = t.hull_id",
    title="t.kind || ', ' || hull.name",
    url="'/hulls/' || t.hull_id",
    aside="t.set_aside_at IS NOT NULL",
    at="t.at",
    offset_min="t.offset_min",
    found=Found("service", 16, "Service", texts(*searched(FIELDS, "title")), texts(*searched(FIELDS, "text"))),
    binned=Binned(
        "service",
        "hull.name || ', ' || t.kind || ' on ' || substr(t.at, 1, 10)",
        "'/hulls/' || t.hull_id || '/service'",
        "'/service/' || t.id || '/return'",
    ),
)
THINGS = (SERVICE,)
