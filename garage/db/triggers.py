"""How our triggers are written down, dropped and made again."""

from dataclasses import dataclass

from sqlalchemy import Connection, text

PREFIX = "garage_"


@dataclass(frozen=True)
class Trigger:
    """One trigger by name, with the statement that makes it."""

    name: str
    statement: str


def refusal(name: str, event: str, table: str, when: str, message: str) -> Trigger:
    """A trigger that refuses `event` on `table` while `when` holds, with words fit for a log."""
    full_name = PREFIX + name
    return Trigger(
        full_name,
        f"CREATE TRIGGER {full_name} BEFORE {event} ON {table} FOR EACH ROW WHEN {when} "
        f"BEGIN SELECT RAISE(ABORT, '{message}'); END",
    )


def append_only(table: str) -> list[Trigger]:
    """Triggers that let rows be added to `table` and nothing else."""
    message = f"{table} only grows"
    return [
        refusal(f"{table}_update", "UPDATE", table, "1", message),
        refusal(f"{table}_delete", "DELETE", table, "1", message),
        refusal(
            f"{table}_replace", "INSERT", table, f"EXISTS (SELECT 1 FROM {table} AS old WHERE old.id = NEW.id)", message
        ),
    ]


def after(name: str, event: str, table: str, body: str) -> Trigger:
    """A trigger that runs `body` after `event` on `table`."""
    full_name = PREFIX + name
    return Trigger(full_name, f"CREATE TRIGGER {full_name} AFTER {event} ON {table} FOR EACH ROW BEGIN {body} END")


def drop_all(connection: Connection) -> None:
    """Drop every trigger of ours: a table cannot be rebuilt while another's trigger names it."""
    names = connection.execute(
        text("SELECT name FROM sqlite_master WHERE type = 'trigger' AND name LIKE 'garage\\_%' ESCAPE '\\'")
    ).scalars()
    for name in list(names):
        connection.execute(text(f'DROP TRIGGER "{name}"'))


def create_all(connection: Connection, triggers: list[Trigger]) -> None:
    """Make every trigger anew."""
    drop_all(connection)
    for trigger in triggers:
        connection.exec_driver_sql(trigger.statement)
