"""Filters turned into conditions on runs: names and codes looked up, lists to choose from."""

from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import text
from sqlmodel import Session

from garage.moments import Moment
from garage.records.forms import Filters
from garage.records.store import Narrowing
from garage.runs.not_known import state_not_known_sql

# So many suggestions stand under a field; anything else can be typed.
MOST_SUGGESTED = 40
# A word in the titles of more modifications than this is no filter.
MOST_MODIFICATIONS = 60

_HULL = text("SELECT id, name FROM hull WHERE name = :typed COLLATE NOCASE OR id = :id ORDER BY name <> :typed LIMIT 2")
# The code of a thing that is the same as another leads to that one.
_CODED = (
    "SELECT coalesce((SELECT kept_id FROM same_thing"
    " WHERE kind = '{0}' AND gone_id = {0}.id AND parted_at IS NULL), id)"
    " FROM {0} WHERE code = :typed COLLATE NOCASE OR id = :id ORDER BY code <> :typed LIMIT 2"
)
_PROP, _PACK = text(_CODED.format("prop")), text(_CODED.format("pack"))
_MODIFICATIONS = text(
    "SELECT id, hull_id FROM modification WHERE instr(lower(title), lower(:typed)) > 0 ORDER BY id DESC LIMIT :most"
)
_MODIFICATION = text("SELECT id, hull_id FROM modification WHERE id = :id")
# The states of the hulls concerned whose content holds one of the modifications.
_WITH_MODIFICATION = (
    f"NOT {state_not_known_sql('run')} AND "
    "run.state_id IN (SELECT state.id FROM modification JOIN build_state AS state"
    " ON state.hull_id = modification.hull_id"
    " WHERE modification.id IN (SELECT value FROM json_each(:modifications))"
    " AND json_type(state.content, '$.fitted.\"' || modification.id || '\"') IS NOT NULL)"
)
_WITH_PROP = (
    "EXISTS (SELECT 1 FROM run_prop JOIN prop_edition ON prop_edition.id = run_prop.edition_id"
    " WHERE run_prop.run_id = run.id AND prop_edition.prop_id = :prop_id)"
)
_WITH_BLADES = (
    "EXISTS (SELECT 1 FROM run_prop JOIN prop_edition ON prop_edition.id = run_prop.edition_id"
    " JOIN prop ON prop.id = prop_edition.prop_id WHERE run_prop.run_id = run.id AND prop.blades = :blades)"
)
_WITH_PACK = "EXISTS (SELECT 1 FROM run_pack WHERE run_pack.run_id = run.id AND run_pack.pack_id = :pack_id)"
_SUGGESTIONS = {
    "hull": text("SELECT name FROM hull ORDER BY retired_on <> '', id DESC LIMIT :most"),
    "prop": text("SELECT code FROM prop ORDER BY retired_on <> '', id DESC LIMIT :most"),
    "pack": text("SELECT code FROM pack ORDER BY retired_on <> '', id DESC LIMIT :most"),
    "modification": text("SELECT DISTINCT title FROM modification ORDER BY id DESC LIMIT :most"),
}


def narrowing(session: Session, filters: Filters) -> tuple[Narrowing, dict[str, str]]:
    """The conditions behind `filters`, and a message by field for what is not in the notebook."""
    conditions: list[str] = []
    values: dict[str, Any] = {}
    errors: dict[str, str] = {}
    hull_id = None
    if filters.hull:
        hull_id = _one(session, _HULL, filters.hull)
        if hull_id is None:
            errors["hull"] = f"There is no hull called “{filters.hull}”."
    for name, query, typed, condition in (
        ("prop", _PROP, filters.prop, _WITH_PROP),
        ("pack", _PACK, filters.pack, _WITH_PACK),
    ):
        found = _one(session, query, typed) if typed else None
        if found is not None:
            conditions.append(condition)
            values[f"{name}_id"] = found
        elif typed:
            errors[name] = f"There is no {name} with the code “{typed}”."
    if filters.modification:
        found_on = _modifications(session, filters.modification)
        if not found_on:
            errors["modification"] = f"No modification has “{filters.modification}” in its title."
        else:
            conditions.append(_WITH_MODIFICATION)
            values["modifications"] = "[" + ",".join(map(str, found_on)) + "]"
            hulls = set(found_on.values())
            # A modification was made for one hull; knowing it, only that hull's runs are looked through.
            hull_id = hulls.pop() if hull_id is None and len(hulls) == 1 else hull_id
    for value, name, condition in (
        (filters.cells, "cells", "run.cells_s = :cells"),
        (filters.blades, "blades", _WITH_BLADES),
        (filters.hull_kind, "hull_kind", "run.hull_id IN (SELECT id FROM hull WHERE kind = :hull_kind)"),
        (_midnight(filters.since), "since", "run.started_at >= :since"),
        (_midnight(filters.until, days=1), "until", "run.started_at < :until"),
    ):
        if value:
            conditions.append(condition)
            values[name] = value
    return Narrowing(tuple(conditions), values, hull_id), errors


def suggestions(session: Session) -> dict[str, list[str]]:
    """A few names and codes to choose from, by field: those in use first, the newest first."""
    return {
        name: list(session.execute(query, {"most": MOST_SUGGESTED}).scalars()) for name, query in _SUGGESTIONS.items()
    }


def _id(typed: str) -> int:
    """What was typed as an id, or one that nothing has."""
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 16 else -1


def _one(session: Session, query: Any, typed: str) -> int | None:
    """A name or code goes before a number that is an id."""
    return session.execute(query, {"typed": typed, "id": _id(typed)}).scalars().first()


def _modifications(session: Session, typed: str) -> dict[int, int]:
    """The modifications meant, each with its hull."""
    if _id(typed) > 0:
        rows = session.execute(_MODIFICATION, {"id": _id(typed)})
    else:
        rows = session.execute(_MODIFICATIONS, {"typed": typed, "most": MOST_MODIFICATIONS})
    return {row.id: row.hull_id for row in rows}


def _midnight(day: str, days: int = 0) -> str:
    """The beginning of a day here, or of one some days later, in UTC; '' for no day."""
    if not day:
        return ""
    start = date.fromisoformat(day) + timedelta(days=days)
    return Moment.of(datetime(start.year, start.month, start.day).astimezone()).utc
