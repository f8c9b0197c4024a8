"""What was read of the file and still holds, kept beside the connection that read it.

Nothing has to say that it wrote: a connection knows whether another one has committed since (`data_version`, also one
of another program), and how many rows it has written itself. Both are asked of SQLite within the transaction at work,
so that they speak of the same moment of the file as everything that is read there.
"""

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from sqlmodel import Session

_KEPT = "unchanged since"
_Found = TypeVar("_Found")


def while_unchanged(session: Session, name: Hashable, read: Callable[[], _Found]) -> _Found:
    """What `read` gives, or gave under that `name` when nothing in the file has been written since.

    It has to be made of the file alone, and be something that nobody changes: rows of a session it is not.
    """
    connection = session.connection()
    at = _version(connection.connection.dbapi_connection)
    kept_at, kept = connection.info.get(_KEPT, (None, {}))
    if kept_at == at and name in kept:
        return kept[name]
    found = read()
    # What a session that writes has read may be taken back with it.
    if not connection.get_execution_options().get("garage_writes", False):
        connection.info[_KEPT] = at, (kept if kept_at == at else {}) | {name: found}
    return found


def found_so_far(session: Session, name: Hashable) -> dict[Any, Any]:
    """What was found of single things under that `name`, by what tells them apart; to be added to. Like all that is
    kept here it is empty again once anything has been written, and always in a session that writes."""
    return while_unchanged(session, name, dict)


def _version(driver: Any) -> tuple[int, int]:
    return driver.execute("PRAGMA data_version").fetchone()[0], driver.total_changes
