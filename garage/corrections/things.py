"""What this room keeps, for whoever searches it."""

from garage.things import OF_OWNER, Found, Kind, texts

_OWN_LABEL = "(SELECT own_field.label FROM own_field WHERE t.field = 'own_' || own_field.id)"
CORRECTION = Kind(
    "correction",
    "correction",
    title=f"'Correction of ' || coalesce({_OWN_LABEL}, replace(t.field, '_', ' '))",
    url=OF_OWNER,
    at="t.at",
    found=Found("correction", 19, "Corrections", texts("field"), texts("new", "old", "why")),
)
THINGS = (CORRECTION,)
