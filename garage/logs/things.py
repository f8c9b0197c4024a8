"""What this room keeps, for whoever searches it or brings it back."""

from garage.things import Binned, Found, Kind, texts

LOG = Kind(
    "log",
    "log_file",
    joins="LEFT JOIN outing ON outing.id = t.outing_id",
    title="'Log ' || t.name",
    url="'/logs/' || t.id",
    aside="t.set_aside_at IS NOT NULL",
    at="outing.started_at",
    offset_min="outing.offset_min",
    found=Found("log", 24, "Logs", texts("name"), texts("kind", "notes")),
    binned=Binned("log", "t.name", "'/logs/' || t.id", "'/logs/' || t.id || '/return'"),
)
THINGS = (LOG,)
