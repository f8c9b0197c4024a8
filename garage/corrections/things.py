"""What this room keeps, for whoever searches it."""

from garage.things import OF_OWNER, Found, Kind, texts

CORRECTION = Kind(
    "correction",
    "correction",
    title="'Correction of ' || replace(t.field, '_', ' ')",
    url=OF_OWNER,
    at="t.at",
    found=Found("correction", 19, "Corrections", texts("field"), texts("new", "old", "why")),
)
THINGS = (CORRECTION,)
