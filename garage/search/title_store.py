"""What each found thing is called and where it is: one query per kind, for the few things on the page."""

import re
from dataclasses import dataclass

from sqlalchemy import bindparam, text
from sqlmodel import Session

from garage.moments import Moment
from garage.packs.verdict_store import retire_words


@dataclass(frozen=True)
class Place:
    """A thing as a result names it: `title`, the address of its page, when it was (if it has a time), whether
    it was set aside or retired, and the verdict on the pack whose page it leads to, '' for any other."""

    title: str
    address: str
    at: Moment | None
    aside: bool
    retire: str = ""


_PACK_PAGE = re.compile(r"/packs/([0-9]+)")
_STATE = "'/hulls/' || state.hull_id || '/states/' || state.number"
_RUN_TITLE = "'Run ' || run.number || ', ' || hull.name"
_RUN_JOIN = "JOIN hull ON hull.id = run.hull_id"
# Where the page of an attachment's, shelf entry's or correction's owner is.
_OWNER_ADDRESS = f"""CASE t.owner
    WHEN 'hull' THEN '/hulls/' || t.owner_id
    WHEN 'modification' THEN '/modifications/' || t.owner_id
    WHEN 'step' THEN (SELECT '/modifications/' || step.modification_id || '#step-' || step.id
                      FROM step WHERE step.id = t.owner_id)
    WHEN 'state' THEN (SELECT {_STATE} FROM build_state AS state WHERE state.id = t.owner_id)
    WHEN 'change' THEN (SELECT {_STATE} FROM change JOIN build_state AS state ON state.id = change.state_id
                        WHERE change.id = t.owner_id)
    WHEN 'prop' THEN '/props/' || t.owner_id
    WHEN 'edition' THEN (SELECT '/props/' || edition.prop_id FROM prop_edition AS edition
                         WHERE edition.id = t.owner_id)
    WHEN 'pack' THEN '/packs/' || t.owner_id
    WHEN 'part' THEN '/drives/' || t.owner_id
    WHEN 'outing' THEN '/outings/' || t.owner_id
    WHEN 'run' THEN '/runs/' || t.owner_id
    WHEN 'supply' THEN '/stock/supplies/' || t.owner_id
    ELSE '/attachments/unsorted' END"""

# kind -> (title, address, utc time, offset, whether set aside, tables); the thing itself is `t`
_PLACES: dict[str, tuple[str, str, str, str, str, str]] = {
    "hull": ("t.name || ', ' || t.kind", "'/hulls/' || t.id", "''", "0", "t.retired_on <> ''", "hull AS t"),
    "modification": (
        "t.title || ', ' || hull.name",
        "'/modifications/' || t.id",
        "t.created_at",
        "0",
        "t.dropped_at IS NOT NULL",
        "modification AS t JOIN hull ON hull.id = t.hull_id",
    ),
    "step": (
        "t.action || CASE WHEN t.what <> '' THEN ': ' || t.what ELSE '' END || ', ' || parent.title",
        "'/modifications/' || t.modification_id || '#step-' || t.id",
        "coalesce(t.done_at, '')",
        "0",
        "t.set_aside_at IS NOT NULL",
        "step AS t JOIN modification AS parent ON parent.id = t.modification_id",
    ),
    "state": (
        "'Build state ' || state.number || ', ' || hull.name",
        _STATE,
        "state.made_at",
        "state.offset_min",
        "EXISTS (SELECT 1 FROM supersession AS later WHERE later.old_state_id = t.id)",
        "build_state AS t JOIN build_state AS state ON state.id = t.id JOIN hull ON hull.id = t.hull_id",
    ),
    "change": (
        "t.kind || CASE WHEN t.setting <> '' THEN ' ' || replace(t.setting, '_', ' ') ELSE '' END"
        " || CASE WHEN t.place <> 'single' THEN ' ' || t.place ELSE '' END"
        " || ', build state ' || state.number || ', ' || hull.name",
        _STATE,
        "state.made_at",
        "state.offset_min",
        "EXISTS (SELECT 1 FROM supersession AS later WHERE later.old_state_id = t.state_id)",
        "change AS t JOIN build_state AS state ON state.id = t.state_id JOIN hull ON hull.id = state.hull_id",
    ),
    "prop": (
        "t.code || CASE WHEN t.printed_name <> '' THEN ' · ' || t.printed_name ELSE '' END",
        "'/props/' || t.id",
        "''",
        "0",
        "t.retired_on <> ''",
        "prop AS t",
    ),
    "edition": (
        "prop.code || ' edition ' || t.number || ', ' || t.reworks",
        "'/props/' || t.prop_id",
        "t.made_at",
        "t.offset_min",
        "prop.retired_on <> ''",
        "prop_edition AS t JOIN prop ON prop.id = t.prop_id",
    ),
    "pack": (
        "t.code || CASE WHEN t.name <> '' THEN ' · ' || t.name ELSE '' END || ', ' || t.cells_s || 'S'",
        "'/packs/' || t.id",
        "''",
        "0",
        "t.retired_on <> ''",
        "pack AS t",
    ),
    "drive": (
        "t.code || ' · ' || t.kind || CASE WHEN t.name <> '' THEN ', ' || t.name ELSE '' END",
        "'/drives/' || t.id",
        "''",
        "0",
        "t.retired_on <> ''",
        "part AS t",
    ),
    "water": ("t.name", "'/waters/' || t.id", "''", "0", "t.retired_on <> ''", "water AS t"),
    "outing": (
        "'Outing, ' || water.name",
        "'/outings/' || t.id",
        "t.started_at",
        "t.offset_min",
        "t.set_aside_at IS NOT NULL",
        "outing AS t JOIN water ON water.id = t.water_id",
    ),
    "run": (
        _RUN_TITLE,
        "'/runs/' || run.id",
        "run.started_at",
        "run.offset_min",
        "run.set_aside_at IS NOT NULL",
        f"run AS t JOIN run ON run.id = t.id {_RUN_JOIN}",
    ),
    "incident": (
        f"t.kind || ' in ' || lower(substr({_RUN_TITLE}, 1, 1)) || substr({_RUN_TITLE}, 2)",
        "'/runs/' || t.run_id",
        "run.started_at",
        "run.offset_min",
        "t.set_aside_at IS NOT NULL",
        f"incident AS t JOIN run ON run.id = t.run_id {_RUN_JOIN}",
    ),
    "note": (
        "CASE t.kind WHEN 'photo' THEN 'Picture' ELSE upper(substr(t.kind, 1, 1)) || substr(t.kind, 2) END"
        " || CASE t.owner WHEN '' THEN ', not sorted yet' WHEN 'part' THEN ' on a drive part'"
        " ELSE ' on ' || CASE WHEN t.owner IN ('outing') THEN 'an ' ELSE 'a ' END || t.owner END",
        _OWNER_ADDRESS,
        "t.at",
        "t.offset_min",
        "t.set_aside_at IS NOT NULL",
        "attachment AS t",
    ),
    "supply": (
        "t.code || ' · ' || t.name",
        "'/stock/supplies/' || t.id",
        "''",
        "0",
        "t.retired_on <> ''",
        "supply AS t",
    ),
    "service": (
        "t.kind || ', ' || hull.name",
        "'/hulls/' || t.hull_id",
        "t.at",
        "t.offset_min",
        "t.set_aside_at IS NOT NULL",
        "service AS t JOIN hull ON hull.id = t.hull_id",
    ),
    "shelf": (
        "CASE t.owner"
        " WHEN 'prop' THEN (SELECT 'Prop ' || prop.code FROM prop WHERE prop.id = t.owner_id)"
        " WHEN 'pack' THEN (SELECT 'Pack ' || pack.code FROM pack WHERE pack.id = t.owner_id)"
        " WHEN 'part' THEN (SELECT part.code || ' · ' || part.kind FROM part WHERE part.id = t.owner_id)"
        " ELSE (SELECT supply.name FROM supply WHERE supply.id = t.owner_id) END"
        " || CASE WHEN t.place <> '' THEN ', at: ' || t.place ELSE '' END",
        _OWNER_ADDRESS,
        "''",
        "0",
        "0",
        "shelf_entry AS t",
    ),
    "set": ("t.name", "'/packs/sets'", "''", "0", "t.retired_on <> ''", "pack_set AS t"),
    "correction": (
        "'Correction of ' || replace(t.field, '_', ' ')",
        _OWNER_ADDRESS,
        "t.at",
        "0",
        "0",
        "correction AS t",
    ),
    "pack log": (
        "'Pack ' || pack.code || ', ' || t.kind",
        "'/packs/' || t.pack_id",
        "t.at",
        "t.offset_min",
        "t.set_aside_at IS NOT NULL",
        "pack_log AS t JOIN pack ON pack.id = t.pack_id",
    ),
    "pack reading": (
        "'Pack ' || pack.code || ', resistance'",
        "'/packs/' || t.pack_id",
        "t.at",
        "t.offset_min",
        "t.set_aside_at IS NOT NULL",
        "pack_reading AS t JOIN pack ON pack.id = t.pack_id",
    ),
    "temperature": (
        f"t.spot || ' after ' || lower(substr({_RUN_TITLE}, 1, 1)) || substr({_RUN_TITLE}, 2)",
        "'/runs/' || t.run_id",
        "run.started_at",
        "run.offset_min",
        "run.set_aside_at IS NOT NULL",
        f"run_temperature AS t JOIN run ON run.id = t.run_id {_RUN_JOIN}",
    ),
    "list line": (
        "t.text || ', ' || hull.name",
        "'/hulls/' || t.hull_id || '/lists'",
        "''",
        "0",
        "t.set_aside_at IS NOT NULL",
        "checklist_item AS t JOIN hull ON hull.id = t.hull_id",
    ),
    "log": (
        "'Log ' || t.name",
        "'/logs/' || t.id",
        "outing.started_at",
        "outing.offset_min",
        "t.set_aside_at IS NOT NULL",
        "log_file AS t LEFT JOIN outing ON outing.id = t.outing_id",
    ),
}

_QUERIES = {
    kind: text(
        f"SELECT t.id, {title}, {address}, {at}, {offset}, {aside} FROM {tables} WHERE t.id IN :ids"
    ).bindparams(bindparam("ids", expanding=True))
    for kind, (title, address, at, offset, aside, tables) in _PLACES.items()
}


def places(session: Session, kind: str, ids: list[int]) -> dict[int, Place]:
    """Title and address of some things of one kind; a thing that is gone is left out."""
    if not ids:
        return {}
    rows = session.execute(_QUERIES[kind], {"ids": ids}).all()
    packs = {row[0]: int(found[1]) for row in rows if (found := _PACK_PAGE.fullmatch(row[2] or ""))}
    retire = retire_words(session, packs.values()) if packs else {}
    return {
        thing_id: Place(
            title or kind,
            address or "/",
            Moment(at, offset or 0) if at else None,
            bool(aside),
            retire.get(packs.get(thing_id, 0), ""),
        )
        for thing_id, title, address, at, offset, aside in rows
    }
