"""What was read of the file and still holds, kept beside the connection that read it.

Nothing has to say that it wrote: a connection knows whether another one has committed since (`data_version`, also one
of another program), and how many rows it has written itself. Both are asked of SQLite within the transaction at work,
so that they speak of the same moment of the file as everything that is read there.
"""

from collections.abc import Callable, Hashable, Iterable, Mapping
from typing import Any, TypeVar

from sqlmodel import Session

_KEPT = "unchanged since"
_Found = TypeVar("_Found")
_Key = TypeVar("_Key", int, str)


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


def each_while_unchanged(
    session: Session, name: Hashable, wanted: Iterable[_Key], read: Callable[[list[_Key]], Mapping[_Key, _Found]]
) -> dict[_Key, _Found]:
    """The same of single things, by what tells them apart and in their order: `read` is asked for those alone of which
    nothing is kept, and what it does not find is left out."""
    asked = sorted(set(wanted))
    known: dict[_Key, _Found] = while_unchanged(session, name, dict)
    if missing := [one for one in asked if one not in known]:
        known |= read(missing)
    return {one: known[one] for one in asked if one in known}


def _version(driver: Any) -> tuple[int, int]:
    return driver.execute("PRAGMA data_version").fetchone()[0], driver.total_changes
