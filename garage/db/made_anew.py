"""What a file holds beside its rows, made from the program: triggers, and the full text that is searched.

Which program made them is kept as a hash of the statements, a fact of the file; where the present program would make
them otherwise, they are made anew in one transaction. So an edited trigger, or a further column that is searched,
reaches every notebook there is at its next start.
"""

from collections.abc import Iterable, Sequence
from hashlib import sha256

from sqlalchemy import Connection, Engine, text

from garage.db.triggers import Trigger, create_all

GUARDS, SEARCH = "made by: guards", "made by: search"


def make_anew_if_changed(engine: Engine, triggers: list[Trigger], refill: Sequence[str]) -> bool:
    """Make anew what differs from what the program would make. True if anything was done; one read if not."""
    with engine.connect() as connection:
        if _kept(connection) == _wanted(triggers, refill):
            return False
    with engine.execution_options(garage_writes=True).begin() as connection:
        make_anew(connection, triggers, refill)
    return True


def make_anew(connection: Connection, triggers: list[Trigger], refill: Sequence[str]) -> None:
    """Make every trigger anew, fill the full text anew if it was made otherwise, and keep by which program."""
    wanted, kept = _wanted(triggers, refill), _kept(connection)
    create_all(connection, triggers)
    if kept.get(SEARCH) != wanted[SEARCH]:
        for statement in refill:
            connection.exec_driver_sql(statement)
    keep = text(
        "INSERT INTO fact (name, value) VALUES (:name, :value) ON CONFLICT (name) DO UPDATE SET value = excluded.value"
    )
    for name, value in wanted.items():
        connection.execute(keep, {"name": name, "value": value})


def _kept(connection: Connection) -> dict[str, str]:
    rows = connection.execute(
        text("SELECT name, value FROM fact WHERE name IN (:guards, :search)"), {"guards": GUARDS, "search": SEARCH}
    )
    return {row.name: row.value for row in rows}


def _wanted(triggers: list[Trigger], refill: Sequence[str]) -> dict[str, str]:
    return {GUARDS: _hash(trigger.statement for trigger in triggers), SEARCH: _hash(refill)}


def _hash(statements: Iterable[str]) -> str:
    return sha256("\n".join(statements).encode()).hexdigest()
