"""The full text of everything written anew, for a file whose rows came in without the triggers that keep it."""

import sqlite3

from garage.search.kinds import first_row
from garage.search.triggers import SOURCES


def write_full_text(connection: sqlite3.Connection) -> None:
    """Write the full text of every row there is. The caller holds the transaction."""
    connection.execute("DELETE FROM search_text")
    for kind, (table, title, body) in SOURCES.items():
        connection.execute(
            f"INSERT INTO search_text(rowid, title, body) SELECT {first_row(kind)} + {table}.id, "
            f"{title.format(row=table)}, {body.format(row=table)} FROM {table}"
        )
