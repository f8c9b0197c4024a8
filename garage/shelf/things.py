"""What this room keeps, for whoever searches it."""

from garage.fields.definition import searched
from garage.shelf.fields import FIELDS
from garage.things import OF_OWNER, SHELVED, Found, Kind, texts

ENTRY = Kind(
    "shelf entry",
    "shelf_entry",
    title=f"{SHELVED} || CASE WHEN t.place <> '' THEN ', at: ' || t.place ELSE '' END",
    url=OF_OWNER,
    found=Found("shelf", 17, "On the shelf", texts(*searched(FIELDS, "title")), texts(*searched(FIELDS, "text"))),
)
THINGS = (ENTRY,)
