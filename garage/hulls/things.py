"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.hulls.fields import FIELDS, RETIREMENT_FIELDS
from garage.things import Binned, Found, Kind, texts

HULL = Kind(
    "hull",
    "hull",
    title="t.name || ', ' || t.kind",
    called="t.name",
    shelved="t.name",
    url="'/hulls/' || t.id",
    came="t.built_on",
    in_use="t.retired_on = ''",
    aside="t.retired_on <> ''",
    found=Found(
        "hull",
        1,
        "Hulls",
        texts(*searched(FIELDS, "title")),
        texts(*searched((*FIELDS, *RETIREMENT_FIELDS), "text")),
        code="name",
    ),
)
CHECKLIST_LINE = Kind(
    "checklist line",
    "checklist_item",
    joins="JOIN hull ON hull.id = t.hull_id",
    title="t.text || ', ' || hull.name",
    url="'/hulls/' || t.hull_id || '/lists'",
    aside="t.set_aside_at IS NOT NULL",
    found=Found("list line", 23, "Lines of lists", texts("text"), "''"),
    binned=Binned(
        "line of a list",
        "hull.name || ', ' || t.text",
        "'/hulls/' || t.hull_id || '/lists'",
        "'/hulls/' || t.hull_id || '/lists/' || t.id || '/return'",
    ),
)
THINGS = (HULL, CHECKLIST_LINE)
