"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.modifications.fields import FIELDS, STEP_FIELDS
from garage.things import OWN_TEXTS, Binned, Found, Kind, takes_fields, texts

MODIFICATION = Kind(
    "modification",
    "modification",
    joins="JOIN hull ON hull.id = t.hull_id",
    title="t.title || ', ' || hull.name",
    called="t.title",
    url="'/modifications/' || t.id",
    in_use="t.dropped_at IS NULL",
    aside="t.dropped_at IS NOT NULL",
    at="t.created_at",
    found=Found(
        "modification",
        2,
        "Modifications",
        texts(*searched(FIELDS, "title")),
        texts(*searched(FIELDS, "text"), "dropped_reason") + " || ' ' || " + OWN_TEXTS,
    ),
    takes=takes_fields("modification", "Modifications", FIELDS, "modification"),
)
_CALLED = "trim(t.action || ' ' || t.what) || ' (' || parent.title || ')'"
STEP = Kind(
    "step",
    "step",
    joins="JOIN modification AS parent ON parent.id = t.modification_id",
    title="t.action || CASE WHEN t.what <> '' THEN ': ' || t.what ELSE '' END || ', ' || parent.title",
    called=_CALLED,
    url="'/steps/' || t.id",
    shown_at="'/modifications/' || t.modification_id || '#step-' || t.id",
    in_use="t.set_aside_at IS NULL",
    aside="t.set_aside_at IS NOT NULL",
    at="coalesce(t.done_at, '')",
    found=Found("step", 3, "Steps", texts(*searched(STEP_FIELDS, "title")), texts(*searched(STEP_FIELDS, "text"))),
    binned=Binned("step", _CALLED, "'/modifications/' || t.modification_id", "'/steps/' || t.id || '/bring-back'"),
)
THINGS = (MODIFICATION, STEP)
