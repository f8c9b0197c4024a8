"""What was set aside, over all rooms, the latest first."""

from dataclasses import dataclass

from sqlalchemy import BindParameter, bindparam, text
from sqlmodel import Session


@dataclass(frozen=True)
class SetAside:
    """One thing set aside: what it is called, where it belongs, and the address that brings it back."""

    kind: str
    name: str
    set_aside_at: str
    url: str
    back: str


# Kind, what it is called, where its page is, what brings it back, the table as t with what it is joined to, as SQL.
_SOURCES: tuple[tuple[str, str, str, str, str, str], ...] = (
    (
        "run", "'run ' || t.number || ' of ' || substr(t.started_at, 1, 10) || ', ' || h.name", "'/runs/' || t.id",
        "'/runs/' || t.id || '/bring-back'", "run t JOIN hull h ON h.id = t.hull_id", "1",
    ),
    (
        "outing", "'outing of ' || substr(t.started_at, 1, 10) || ', ' || w.name", "'/outings/' || t.id",
        "'/outings/' || t.id || '/bring-back'", "outing t JOIN water w ON w.id = t.water_id", "1",
    ),
    (
        "step", "trim(t.action || ' ' || t.what) || ' (' || m.title || ')'", "'/modifications/' || t.modification_id",
        "'/steps/' || t.id || '/bring-back'", "step t JOIN modification m ON m.id = t.modification_id", "1",
    ),
    (
        "note or file", "trim(t.kind || ' ' || substr(t.text || t.url, 1, 80))",
        "CASE t.owner WHEN '' THEN '/attachments/unsorted' ELSE '/attachments/' || t.owner || '/' || t.owner_id END",
        "'/attachments/' || t.id || '/return'", "attachment t", "1",
    ),
    (
        "pack log", "p.code || ', ' || t.kind || ' of ' || substr(t.at, 1, 10)", "'/packs/' || t.pack_id || '/log'",
        "'/packs/' || t.pack_id || '/log/' || t.id || '/return'", "pack_log t JOIN pack p ON p.id = t.pack_id",
        # The discharge of a run comes back with its run.
        "t.run_id IS NULL",
    ),
    (
        "resistance reading", "p.code || ', reading of ' || substr(t.at, 1, 10)",
        "'/packs/' || t.pack_id || '/readings'", "'/packs/' || t.pack_id || '/readings/' || t.id || '/return'",
        "pack_reading t JOIN pack p ON p.id = t.pack_id", "1",
    ),
    (
        "service", "h.name || ', ' || t.kind || ' on ' || substr(t.at, 1, 10)", "'/hulls/' || t.hull_id || '/service'",
        "'/service/' || t.id || '/return'", "service t JOIN hull h ON h.id = t.hull_id", "1",
    ),
    (
        "line of a list", "h.name || ', ' || t.text", "'/hulls/' || t.hull_id || '/lists'",
        "'/hulls/' || t.hull_id || '/lists/' || t.id || '/return'",
        "checklist_item t JOIN hull h ON h.id = t.hull_id", "1",
    ),
    (
        "incident", "t.kind || ' in run ' || r.number || ' of ' || substr(r.started_at, 1, 10)",
        "'/runs/' || t.run_id", "'/runs/' || t.run_id || '/incidents/' || t.id || '/bring-back'",
        "incident t JOIN run r ON r.id = t.run_id", "1",
    ),
    ("log", "t.name", "'/logs/' || t.id", "'/logs/' || t.id || '/return'", "log_file t", "1"),
)  # fmt: skip


def set_aside_things(session: Session, *, limit: int, offset: int = 0) -> list[SetAside]:
    """What was set aside, the latest first."""
    most: BindParameter[int] = bindparam("most", limit + offset)
    parts = [
        f"SELECT * FROM (SELECT '{kind}' AS kind, {name} AS name, t.set_aside_at AS at, {url} AS url, {back} AS back "
        f"FROM {tables} WHERE t.set_aside_at IS NOT NULL AND {only} ORDER BY t.set_aside_at DESC LIMIT :most)"
        for kind, name, url, back, tables, only in _SOURCES
    ]
    whole = text(" UNION ALL ".join(parts) + " ORDER BY at DESC, kind, url LIMIT :limit OFFSET :offset")
    rows = session.connection().execute(
        whole.bindparams(most, bindparam("limit", limit), bindparam("offset", offset))
    )
    return [SetAside(*row) for row in rows]
