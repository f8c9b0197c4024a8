"""What this room keeps, for whoever searches it."""

from garage.fields.definition import searched
from garage.shelf.fields import FIELDS
from garage.things import OF_OWNER, Found, Kind, texts

ENTRY = Kind(
    "shelf entry",
    "shelf_entry",
    title=(
        "CASE t.owner"
        " WHEN 'prop' THEN (SELECT 'Prop ' || prop.code FROM prop WHERE prop.id = t.owner_id)"
        " WHEN 'pack' THEN (SELECT 'Pack ' || pack.code FROM pack WHERE pack.id = t.owner_id)"
        " WHEN 'part' THEN (SELECT part.code || ' · ' || part.kind FROM part WHERE part.id = t.owner_id)"
        " ELSE (SELECT supply.name FROM supply WHERE supply.id = t.owner_id) END"
        " || CASE WHEN t.place <> '' THEN ', at: ' || t.place ELSE '' END"
    ),
    url=OF_OWNER,
    found=Found("shelf", 17, "On the shelf", texts(*searched(FIELDS, "title")), texts(*searched(FIELDS, "text"))),
)
THINGS = (ENTRY,)
