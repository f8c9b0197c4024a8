"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.hulls.fields import FIELDS as HULL_FIELDS
from garage.states.settings_list import SETTINGS
from garage.things import Found, Kind, TakesFields, texts

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


def _setting_called(row: str) -> str:
    """What the setting of a change is called, as SQL."""
    own = f"(SELECT own_field.label FROM own_field WHERE {row}.setting = 'own_' || own_field.id)"
    return f"coalesce({own}, replace({row}.setting, '_', ' '))"


# What a person wants to know of a hull beyond her settings is a setting of their own: her history keeps it as it keeps
# all of them, and no state of before is another for it.
_OWN_VALUES = (
    "SELECT json_extract(change.detail, '$.value') AS value, build_state.hull_id AS owner FROM change"
    " JOIN build_state ON build_state.id = change.state_id WHERE change.setting = 'own_' || :number"
)
_OWN_SETTINGS = TakesFields(
    "hull",
    "Hulls",
    (*(field.label for field in HULL_FIELDS), *(setting.name for setting in SETTINGS)),
    _OWN_VALUES,
    note="On a hull it is a setting: it is written at a workshop visit, from the day it holds, and every build state "
    "keeps its own.",
    names=tuple(field.name for field in HULL_FIELDS),
    standing=f"{_OWN_VALUES} AND build_state.id NOT IN (SELECT old_state_id FROM supersession)",
)
CHANGE = Kind(
    "change",
    "change",
    joins="JOIN build_state AS state ON state.id = t.state_id JOIN hull ON hull.id = state.hull_id",
    title=(
        f"t.kind || CASE WHEN t.setting <> '' THEN ' ' || {_setting_called('t')} ELSE '' END"
        " || CASE WHEN t.place <> 'single' THEN ' ' || t.place ELSE '' END"
        " || ', build state ' || state.number || ', ' || hull.name"
    ),
    url="'/hulls/' || state.hull_id || '/states/' || state.number",
    aside="EXISTS (SELECT 1 FROM supersession AS later WHERE later.old_state_id = t.state_id)",
    takes=_OWN_SETTINGS,
    at="state.made_at",
    offset_min="state.offset_min",
    found=Found(
        "change",
        5,
        "Changes",
        "{row}.kind || ' ' || " + _setting_called("{row}"),
        texts("note") + " || ' ' || " + _DETAIL,
    ),
)
THINGS = (STATE, CHANGE)
