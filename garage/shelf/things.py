"""What this room keeps, for whoever searches it."""

from garage.fields.definition import searched
from garage.shelf.fields import FIELDS, LOAN_FIELDS
from garage.things import OF_OWNER, SHELVED, Binned, Found, Kind, texts

ENTRY = Kind(
    "shelf entry",
    "shelf_entry",
    title=f"{SHELVED} || CASE WHEN t.place <> '' THEN ', at: ' || t.place ELSE '' END",
    url=OF_OWNER,
    found=Found("shelf", 17, "On the shelf", texts(*searched(FIELDS, "title")), texts(*searched(FIELDS, "text"))),
)
LOAN = Kind(
    "loan",
    "loan",
    title=f"{SHELVED} || ', lent to ' || t.lent_to",
    url="'/loans/' || t.id",
    shown_at=OF_OWNER,
    aside="t.set_aside_at IS NOT NULL",
    found=Found("loan", 30, "Lent", texts(*searched(LOAN_FIELDS, "title")), "''"),
    binned=Binned("loan", "'lent to ' || t.lent_to", "'/loans/' || t.id", "'/loans/' || t.id || '/return'"),
)
THINGS = (ENTRY, LOAN)
