"""Keeping the full text of everything written up to date, by the database itself."""

from garage.db.triggers import Trigger, after
from garage.search.kinds import first_row
from garage.things import Kind, Things


def search_triggers(things: Things) -> list[Trigger]:
    """The triggers that keep the full-text table as the rows of all kinds are."""
    return [trigger for kind in things.found.values() for trigger in _keep(kind)]


def refill(things: Things) -> list[str]:
    """The statements that fill the full-text table anew from all rows there are."""
    return ["DELETE FROM search_text", *(_insert_all(kind) for kind in things.found.values())]


def _insert_all(kind: Kind) -> str:
    title, body = _words(kind, kind.table)
    return (
        f"INSERT INTO search_text(rowid, title, body) SELECT {first_row(kind)} + {kind.table}.id, {title}, {body} "
        f"FROM {kind.table}"
    )


def _words(kind: Kind, row: str) -> tuple[str, str]:
    assert kind.found is not None
    return kind.found.title.format(row=row), kind.found.body.format(row=row)


def _keep(kind: Kind) -> list[Trigger]:
    assert kind.found is not None
    name, start = kind.found.kind.replace(" ", "_"), first_row(kind)
    title, body = _words(kind, "NEW")
    insert = f"INSERT INTO search_text(rowid, title, body) VALUES ({start} + NEW.id, {title}, {body});"
    forget = f"DELETE FROM search_text WHERE rowid = {start} + OLD.id;"
    return [
        after(f"search_{name}_insert", "INSERT", kind.table, insert),
        after(f"search_{name}_update", "UPDATE", kind.table, f"{forget} {insert}"),
        after(f"search_{name}_delete", "DELETE", kind.table, forget),
    ]
