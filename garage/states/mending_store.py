"""Mistakes mended in build states: what was mended, and a state's content as it should have read."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import text
from sqlmodel import Session

from garage.corrections.store import add_correction, corrections_of, corrections_of_each
from garage.corrections.tables import Correction
from garage.errors import Conflict
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.fold import EMPTY, Content, Entries, at_place, with_settings
from garage.states.mending_forms import SlipFormData, slip_choices
from garage.states.query_store import changes_of, current_state, state_at, state_content
from garage.states.tables import BuildState, Change
from garage.states.wording import change_text
from garage.states.write_store import read_change
from garage.units import DisplayUnits

VALUE = "value"
# The changes that a state's settings come from: on its line of parents, latest first, and only for settings
# of which a value was mended somewhere on that line.
_SET_ON_LINE = text("""
WITH RECURSIVE line(state_id, id, parent_id, depth) AS (
    SELECT id, id, parent_id, 0 FROM build_state WHERE id IN (SELECT value FROM json_each(:state_ids))
    UNION ALL
    SELECT line.state_id, up.id, up.parent_id, line.depth + 1 FROM build_state AS up JOIN line ON up.id = line.parent_id
),
mended(state_id, setting, place) AS (
    SELECT DISTINCT line.state_id, change.setting, change.place
    FROM line JOIN change ON change.state_id = line.id
    JOIN correction ON correction.owner = 'change' AND correction.owner_id = change.id
        AND correction.field = 'value'
)
SELECT line.state_id, change.id, change.setting, change.place FROM line JOIN change ON change.state_id = line.id
JOIN mended ON mended.state_id = line.state_id AND mended.setting = change.setting AND mended.place = change.place
WHERE change.kind = 'set' ORDER BY line.state_id, line.depth, change.position DESC
""")


def set_by(session: Session, state_id: int, setting: str, place: str) -> int | None:
    """The change that a state has its value of a setting from, on the state's own line of parents."""
    found = session.connection().execute(
        text(
            "WITH RECURSIVE line(id, parent_id, depth) AS ("
            " SELECT id, parent_id, 0 FROM build_state WHERE id = :state_id UNION ALL"
            " SELECT up.id, up.parent_id, line.depth + 1 FROM build_state AS up"
            " JOIN line ON up.id = line.parent_id)"
            " SELECT change.id FROM line JOIN change ON change.state_id = line.id WHERE change.kind = 'set'"
            " AND change.setting = :setting AND change.place = :place"
            " ORDER BY line.depth, change.position DESC LIMIT 1"
        ),
        {"state_id": state_id, "setting": setting, "place": place},
    )
    return found.scalar()


Mended = dict[str, list[Correction]]


def mended_settings(session: Session, state_ids: Iterable[int]) -> dict[int, Mended]:
    """The mistakes mended in the settings of some states, by state, then by key and place, oldest first."""
    latest: dict[int, dict[str, int]] = {state_id: {} for state_id in state_ids}
    asked = {"state_ids": json.dumps(sorted(latest))}
    for state_id, change_id, setting, place in session.connection().execute(_SET_ON_LINE, asked):
        latest[state_id].setdefault(at_place(setting, place), change_id)
    rows = corrections_of(session, "change", {one for of_state in latest.values() for one in of_state.values()})
    return {state_id: _values_mended(of_state, rows) for state_id, of_state in latest.items()}


def _values_mended(latest: dict[str, int], rows: dict[int, list[Correction]]) -> Mended:
    found = {key: [row for row in rows.get(change_id, []) if row.field == VALUE] for key, change_id in latest.items()}
    return {key: listed for key, listed in found.items() if listed}


def mended_values(session: Session, state_id: int) -> dict[str, Any]:
    """What the mended settings of a state should have read, by key and place."""
    return {key: value_of(listed[-1].new) for key, listed in mended_settings(session, [state_id])[state_id].items()}


def read_as_mended(found: BuildState, mended: Mended, fitted: Entries | None = None) -> Content:
    """A state's content with its mended settings, and what is `fitted`, as they should have read."""
    values = {key: value_of(listed[-1].new) for key, listed in mended.items()}
    content = with_settings(state_content(found), values)
    return content if fitted is None else replace(content, fitted=fitted)


def mended_content(session: Session, found: BuildState) -> Content:
    """A state's content as it should have read."""
    return mended_contents(session, [found])[found.id]


def mended_contents(session: Session, states: Sequence[BuildState]) -> dict[int, Content]:
    """The content of some states as it should have read, by state."""
    mended = mended_settings(session, [one.id for one in states])
    return {one.id: read_as_mended(one, mended[one.id]) for one in states}


def mended_content_at(session: Session, hull_id: int, utc: str) -> Content:
    """What was on a hull at `utc`, or is on it now for '', as it should have read; nothing before its first
    state."""
    return read_at(session, hull_id, utc).content


@dataclass(frozen=True)
class ReadState:
    """What was on a hull in the state of this id (None for none), as it should have read, and what its mended settings
    should have read."""

    id: int | None
    content: Content
    mended: Mapping[str, Any]


def read_at(session: Session, hull_id: int, utc: str) -> ReadState:
    """The same with the state it was read from."""
    found = state_at(session, hull_id, utc) if utc else current_state(session, hull_id)
    if found is None or (utc and utc < found.made_at):
        return ReadState(None, EMPTY, {})
    mended = mended_settings(session, [found.id])[found.id]
    values = {key: value_of(listed[-1].new) for key, listed in mended.items()}
    return ReadState(found.id, read_as_mended(found, mended), values)


def notes_mended(session: Session, found: BuildState, changes: Iterable[Change]) -> dict[str, list[Correction]]:
    """The mistakes mended in a state's own words and in its changes: by `state`, `change:<id>` for a note and
    `value:<id>` for the value it set."""
    known = corrections_of_each(session, {"state": [found.id], "change": [change.id for change in changes]})
    rows = {"state": known["state"].get(found.id, [])}
    for change_id, listed in known["change"].items():
        rows[f"change:{change_id}"] = [row for row in listed if row.field != VALUE]
        rows[f"value:{change_id}"] = [row for row in listed if row.field == VALUE]
    return {key: listed for key, listed in rows.items() if listed}


def choices(session: Session, hull: Hull, found: BuildState, units: DisplayUnits) -> list[tuple[str, str]]:
    """What can be mended in a state: its settings, its note, and the notes of the changes that made it."""
    changes = changes_of(session, [found.id]).get(found.id, [])
    noted = [(change.id, change_text(read_change(change), units)) for change in changes]
    return slip_choices(hull, set(state_content(found).settings), noted)


def mend(session: Session, found: BuildState, form: SlipFormData, now: Moment) -> Correction:
    """Write down a slip in a state as mended. Raises Conflict if nothing differs or nothing stands there."""
    if form.setting:
        return _mend_setting(session, found, form, now)
    if form.change_id is None:
        old = _latest(corrections_of(session, "state", [found.id]).get(found.id, []), "note", found.note)
        return _keep(session, "state", found.id, "note", old, form.new, form.why, now)
    own = {change.id: change for change in changes_of(session, [found.id]).get(found.id, [])}
    if form.change_id not in own:
        raise Conflict("That change did not make this build state.")
    rows = corrections_of(session, "change", [form.change_id]).get(form.change_id, [])
    old = _latest(rows, "note", own[form.change_id].note)
    return _keep(session, "change", form.change_id, "note", old, form.new, form.why, now)


def _mend_setting(session: Session, found: BuildState, form: SlipFormData, now: Moment) -> Correction:
    change_id = set_by(session, found.id, form.setting, form.place)
    if change_id is None:
        raise Conflict("That setting was never written down before this state: make it a change.")
    content = mended_content(session, found)
    old = text_of(content.settings.get(at_place(form.setting, form.place)))
    return _keep(session, "change", change_id, VALUE, old, text_of(form.value), form.why, now)


def _keep(
    session: Session, owner: str, owner_id: int, field: str, old: str, new: str, why: str, now: Moment
) -> Correction:
    if old == new:
        raise Conflict("That is what stands there already.")
    return add_correction(session, owner, owner_id, field, old, new, why, now)


def _latest(rows: Iterable[Correction], field: str, first: str) -> str:
    return next((row.new for row in reversed(list(rows)) if row.field == field), first)


def text_of(value: Any) -> str:
    """A setting's value as a correction keeps it."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False)


def value_of(kept: str) -> Any:
    """What `text_of` kept."""
    return json.loads(kept)
