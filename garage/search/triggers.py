"""Keeping the full text of everything written up to date, by the database itself."""

from collections.abc import Iterable

from garage.db.triggers import Trigger, after
from garage.drives.fields import FIELDS as PART_FIELDS
from garage.fields.definition import Field, searched
from garage.hulls.fields import FIELDS as HULL_FIELDS
from garage.packs.fields import FIELDS as PACK_FIELDS
from garage.packs.fields import LOG_FIELDS, READING_FIELDS, SET_FIELDS
from garage.props.fields import EDITION_FIELDS
from garage.props.fields import FIELDS as PROP_FIELDS
from garage.search.kinds import first_row
from garage.shelf.fields import FIELDS as SHELF_FIELDS
from garage.stock.fields import FIELDS as SUPPLY_FIELDS


def _texts(*columns: str) -> str:
    return " || ' ' || ".join(f"coalesce({{row}}.{column}, '')" for column in columns)


def _of_fields(table: str, fields: Iterable[Field], *more: str) -> tuple[str, str, str]:
    """The source of a thing with a list of fields; `more` are further columns whose words are found."""
    fields = tuple(fields)
    return table, _texts(*searched(fields, "title")) or "''", _texts(*searched(fields, "text"), *more) or "''"


# A change's detail is JSON; only the texts in it are worth finding.
_DETAIL = (
    "coalesce((SELECT group_concat(part.value, ' ') FROM json_tree(CASE WHEN json_valid({row}.detail)"
    " THEN {row}.detail ELSE '[]' END) AS part WHERE part.type = 'text'), '')"
)

# kind -> (table, title, body), as SQL over a row called {row}
SOURCES: dict[str, tuple[str, str, str]] = {
    "hull": _of_fields("hull", HULL_FIELDS, "retired_reason"),
    "modification": (
        "modification",
        _texts("title"),
        _texts("purpose", "expected", "notes", "dropped_reason"),
    ),
    "step": ("step", _texts("action", "what"), _texts("material", "adhesive", "finish", "note")),
    "state": ("build_state", "'build state ' || {row}.number", _texts("note")),
    "change": (
        "change",
        "{row}.kind || ' ' || replace({row}.setting, '_', ' ')",
        _texts("note") + " || ' ' || " + _DETAIL,
    ),
    "prop": _of_fields("prop", PROP_FIELDS, "retired_reason"),
    "edition": (
        "prop_edition",
        "'edition ' || {row}.number || ' ' || {row}.reworks",
        _texts(*searched(EDITION_FIELDS, "text")),
    ),
    "pack": _of_fields("pack", PACK_FIELDS, "damage", "retired_reason"),
    "drive": _of_fields("part", PART_FIELDS, "retired_reason"),
    "water": ("water", _texts("name"), _texts("hours", "notes")),
    "outing": ("outing", "substr({row}.started_at, 1, 10)", _texts("weed", "notes", "surface")),
    "run": (
        "run",
        "'run ' || {row}.number",
        _texts("note", "try_next", "throttle_eased", "rudder_trim", "set_aside_reason"),
    ),
    "incident": ("incident", _texts("kind"), _texts("cause", "recovered", "note")),
    "note": ("attachment", _texts("kind"), _texts("text", "url")),
    "supply": _of_fields("supply", SUPPLY_FIELDS),
    "service": ("service", _texts("kind"), _texts("note")),
    "shelf": _of_fields("shelf_entry", SHELF_FIELDS),
    "set": _of_fields("pack_set", SET_FIELDS),
    "correction": ("correction", _texts("field"), _texts("new", "old", "why")),
    "pack log": _of_fields("pack_log", LOG_FIELDS),
    "pack reading": _of_fields("pack_reading", READING_FIELDS),
    "temperature": ("run_temperature", "''", _texts("note")),
    "list line": ("checklist_item", _texts("text"), "''"),
    "log": ("log_file", _texts("name"), _texts("kind", "notes")),
}


def _keep(kind: str, table: str, title: str, body: str) -> list[Trigger]:
    name = kind.replace(" ", "_")
    start = first_row(kind)
    insert = (
        f"INSERT INTO search_text(rowid, title, body) VALUES ({start} + NEW.id, {title.format(row='NEW')}, "
        f"{body.format(row='NEW')});"
    )
    forget = f"DELETE FROM search_text WHERE rowid = {start} + OLD.id;"
    return [
        after(f"search_{name}_insert", "INSERT", table, insert),
        after(f"search_{name}_update", "UPDATE", table, f"{forget} {insert}"),
        after(f"search_{name}_delete", "DELETE", table, forget),
    ]


TRIGGERS = [trigger for kind, source in SOURCES.items() for trigger in _keep(kind, *source)]
