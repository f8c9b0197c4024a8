"""Keeping the full text of everything written up to date, by the database itself.

Each kind of thing has a number; a thing's row in the full-text table is `id * 32 + number`, so that it is found and
replaced without a look through the table.
"""

from garage.db.triggers import Trigger, after

KINDS_STEP = 32


def _texts(*columns: str) -> str:
    return " || ' ' || ".join(f"coalesce({{row}}.{column}, '')" for column in columns)


# kind -> (number, table, title, body), as SQL over a row called {row}
SOURCES: dict[str, tuple[int, str, str, str]] = {
    "hull": (1, "hull", _texts("name"), _texts("kind", "material", "notes", "retired_reason")),
    "modification": (2, "modification", _texts("title"), _texts("purpose", "expected", "notes", "dropped_reason")),
    "step": (3, "step", _texts("action", "what"), _texts("material", "adhesive", "finish", "note")),
    "state": (4, "build_state", "'build state ' || {row}.number", _texts("note")),
    "change": (5, "change", _texts("kind", "setting"), _texts("note", "detail")),
    "prop": (6, "prop", _texts("code", "printed_name"), _texts("material", "lifting", "notes")),
    "edition": (7, "prop_edition", "'edition ' || {row}.number || ' ' || {row}.reworks", _texts("note")),
    "pack": (8, "pack", _texts("code", "name"), _texts("connector", "notes", "damage", "retired_reason")),
    "drive": (9, "part", _texts("code", "kind", "name"), _texts("material", "notes", "retired_reason")),
    "water": (10, "water", _texts("name"), _texts("hours", "notes")),
    "outing": (11, "outing", "substr({row}.started_at, 1, 10)", _texts("weed", "notes", "surface")),
    "run": (12, "run", "'run ' || {row}.number", _texts("note", "try_next", "throttle_eased", "set_aside_reason")),
    "incident": (13, "incident", _texts("kind"), _texts("cause", "recovered", "note")),
    "note": (14, "attachment", _texts("kind"), _texts("text", "url")),
    "supply": (15, "supply", _texts("code", "name"), _texts("notes")),
    "service": (16, "service", _texts("kind"), _texts("note")),
    "shelf": (17, "shelf_entry", _texts("place", "supplier"), _texts("note")),
    "set": (18, "pack_set", _texts("name"), "''"),
}


def _keep(kind: str, number: int, table: str, title: str, body: str) -> list[Trigger]:
    row = f"NEW.id * {KINDS_STEP} + {number}"
    insert = (
        f"INSERT INTO search_text(rowid, title, body) VALUES ({row}, {title.format(row='NEW')}, "
        f"{body.format(row='NEW')});"
    )
    return [
        after(f"search_{kind}_insert", "INSERT", table, insert),
        after(f"search_{kind}_update", "UPDATE", table, f"DELETE FROM search_text WHERE rowid = {row}; {insert}"),
        after(
            f"search_{kind}_delete",
            "DELETE",
            table,
            f"DELETE FROM search_text WHERE rowid = OLD.id * {KINDS_STEP} + {number};",
        ),
    ]


TRIGGERS = [trigger for kind, source in SOURCES.items() for trigger in _keep(kind, *source)]
