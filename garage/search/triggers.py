"""Keeping the full text of everything written up to date, by the database itself."""

from collections.abc import Iterable

from garage.db.triggers import Trigger, after
from garage.fields.definition import Field, searched
from garage.hulls.fields import FIELDS as HULL_FIELDS
from garage.props.fields import EDITION_FIELDS
from garage.props.fields import FIELDS as PROP_FIELDS
from garage.runs.fields import FIELDS as RUN_FIELDS
from garage.runs.fields import INCIDENT_FIELDS, TEMPERATURE_FIELDS
from garage.search.kinds import first_row
from garage.waters.fields import FIELDS as WATER_FIELDS
from garage.waters.fields import OUTING_FIELDS


def _texts(*columns: str) -> str:
    return " || ' ' || ".join(f"coalesce({{row}}.{column}, '')" for column in columns)


def _of_fields(table: str, fields: Iterable[Field], *more: str) -> tuple[str, str, str]:
    """The source of a thing with a list of fields; `more` are further columns whose words are found."""
    fields = tuple(fields)
    return table, _texts(*searched(fields, "title")), _texts(*searched(fields, "text"), *more)


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
    "pack": ("pack", _texts("code", "name"), _texts("connector", "notes", "damage", "retired_reason")),
    "drive": ("part", _texts("code", "kind", "name"), _texts("material", "notes", "retired_reason")),
    "water": _of_fields("water", WATER_FIELDS),
    "outing": ("outing", "substr({row}.started_at, 1, 10)", _texts(*searched(OUTING_FIELDS, "text"), "surface")),
    "run": (
        "run",
        "'run ' || {row}.number",
        _texts(*searched(RUN_FIELDS, "text"), "set_aside_reason"),
    ),
    "incident": _of_fields("incident", INCIDENT_FIELDS),
    "note": ("attachment", _texts("kind"), _texts("text", "url")),
    "supply": ("supply", _texts("code", "name"), _texts("notes")),
    "service": ("service", _texts("kind"), _texts("note")),
    "shelf": ("shelf_entry", _texts("place", "supplier"), _texts("note")),
    "set": ("pack_set", _texts("name"), "''"),
    "correction": ("correction", _texts("field"), _texts("new", "old", "why")),
    "pack log": ("pack_log", "''", _texts("note")),
    "pack reading": ("pack_reading", _texts("instrument"), _texts("note")),
    "temperature": ("run_temperature", "''", _texts(*searched(TEMPERATURE_FIELDS, "text"))),
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
