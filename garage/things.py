"""The things of the notebook by their kind, for low rooms that attach something to them.

They do not know the rooms above, yet a note must lead back to its run, and a price to its prop: this is handed down to
them as `handed_down.Things`.
"""

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.errors import NotFound
from garage.handed_down import Thing

# kind -> (table as t with what it is joined to, name, address, those that can still be picked), as SQL
_SOURCES: dict[str, tuple[str, str, str, str]] = {
    "hull": ("hull t", "t.name", "'/hulls/' || t.id", "t.retired_on = ''"),
    "modification": ("modification t", "t.title", "'/modifications/' || t.id", "t.dropped_at IS NULL"),
    "step": (
        "step t JOIN modification m ON m.id = t.modification_id",
        "trim(t.action || ' ' || t.what) || ' (' || m.title || ')'",
        "'/steps/' || t.id",
        "t.set_aside_at IS NULL",
    ),
    "state": (
        "build_state t JOIN hull h ON h.id = t.hull_id",
        "'build state ' || t.number || ' of ' || h.name",
        "'/hulls/' || t.hull_id || '/states/' || t.number",
        "1",
    ),
    "prop": ("prop t", "trim(t.code || ' ' || t.printed_name)", "'/props/' || t.id", "t.retired_on = ''"),
    "pack": ("pack t", "trim(t.code || ' ' || t.name)", "'/packs/' || t.id", "t.retired_on = ''"),
    "part": (
        "part t",
        "trim(t.code || ' ' || t.kind || ' ' || t.name)",
        "'/drives/' || t.id",
        "t.retired_on = ''",
    ),
    "supply": (
        "supply t",
        "trim(t.code || ' ' || t.name)",
        "'/stock/supplies/' || t.id",
        "t.retired_on = ''",
    ),
    "outing": (
        "outing t JOIN water w ON w.id = t.water_id",
        "'outing of ' || substr(t.started_at, 1, 10) || ', ' || w.name",
        "'/outings/' || t.id",
        "t.set_aside_at IS NULL",
    ),
    "run": (
        "run t JOIN hull h ON h.id = t.hull_id",
        "'run ' || t.number || ' of ' || substr(t.started_at, 1, 10) || ', ' || h.name",
        "'/runs/' || t.id",
        "t.set_aside_at IS NULL",
    ),
}
KINDS = tuple(_SOURCES)


def thing(session: Session, owner: str, owner_id: int) -> Thing:
    """The thing of kind `owner` with that number. Raises NotFound."""
    if owner not in _SOURCES:
        raise NotFound("There is no such kind of thing in this notebook.")
    tables, name, url, _ = _SOURCES[owner]
    row = session.connection().execute(
        text(f"SELECT {name}, {url} FROM {tables} WHERE t.id = :id").bindparams(bindparam("id", owner_id))
    )  # fmt: skip
    found = row.one_or_none()
    if found is None:
        raise NotFound(f"There is no such {owner} in this notebook.")
    return Thing(owner, owner_id, found[0], found[1])


def recent_things(session: Session, owner: str, limit: int) -> list[Thing]:
    """The things of kind `owner` written down last, the newest first."""
    tables, name, url, kept = _SOURCES[owner]
    rows = session.connection().execute(
        text(
            f"SELECT t.id, {name}, {url} FROM {tables} WHERE {kept} ORDER BY t.id DESC LIMIT :most"
        ).bindparams(bindparam("most", limit))
    )
    return [Thing(owner, *row) for row in rows]
