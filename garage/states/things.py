"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.things import Found, Kind, texts

# A change's detail is JSON; only the texts in it are worth finding.
_DETAIL = (
    "coalesce((SELECT group_concat(part.value, ' ') FROM json_tree(CASE WHEN json_valid({row}.detail)"
    " THEN {row}.detail ELSE '[]' END) AS part WHERE part.type = 'text'), '')"
)
STATE = Kind(
    "state",
    "build_state",
    joins="JOIN hull ON hull.id = t.hull_id",
    title="'Build state ' || t.number || ', ' || hull.name",
    called="'build state ' || t.number || ' of ' || hull.name",
    url="'/hulls/' || t.hull_id || '/states/' || t.number",
    aside="EXISTS (SELECT 1 FROM supersession AS later WHERE later.old_state_id = t.id)",
    at="t.made_at",
    offset_min="t.offset_min",
    found=Found("state", 4, "Build states", "'build state ' || {row}.number", texts("note")),
)
CHANGE = Kind(
    "change",
    "change",
    joins="JOIN build_state AS state ON state.id = t.state_id JOIN hull ON hull.id = state.hull_id",
    title=(
        "t.kind || CASE WHEN t.setting <> '' THEN ' ' || replace(t.setting, '_', ' ') ELSE '' END"
        " || CASE WHEN t.place <> 'single' THEN ' ' || t.place ELSE '' END"
        " || ', build state ' || state.number || ', ' || hull.name"
    ),
    url="'/hulls/' || state.hull_id || '/states/' || state.number",
    aside="EXISTS (SELECT 1 FROM supersession AS later WHERE later.old_state_id = t.state_id)",
    at="state.made_at",
    offset_min="state.offset_min",
    found=Found(
        "change",
        5,
        "Changes",
        "{row}.kind || ' ' || replace({row}.setting, '_', ' ')",
        texts("note") + " || ' ' || " + _DETAIL,
    ),
)
THINGS = (STATE, CHANGE)
