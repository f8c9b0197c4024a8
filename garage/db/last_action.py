"""The last action of a person: what it changed, so that it can be taken back while nothing came after it.

Rows that were added are removed again, rows that were changed get their earlier values, rows that were removed
come back. What only grows is answered by a further row, and a file that came in is set aside. Only the very last
action is taken back so, since nothing can rest on it yet; everything earlier is set aside or edited.
"""

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Table, delete, event, func, insert, inspect, select, update
from sqlmodel import Session, SQLModel, col

from garage.db.tables import LastAction, SentForm
from garage.db.triggers import after
from garage.errors import Conflict, NotFound

KEPT_ACTIONS = 50
# Rows that only grow and are not undone by themselves, and rows that say who may come in.
_NOT_TAKEN_BACK = {"supersession", "fingerprint", "device"}
# Rows that only grow: another one with these two columns changed about says that it was taken back.
_ANSWERED = {"correction": ("old", "new"), "run_move": ("from_value", "to_value")}
# Files that came in are set aside: they stay on the disk.
_SET_ASIDE = ("attachment", "log_file")
_WRITES = ("INSERT", "UPDATE", "DELETE", "REPLACE")
_ADDS = re.compile(r"\s*(?:INSERT(?:\s+OR\s+\w+)?|REPLACE)\s+INTO\s+[\"']?(\w+)", re.IGNORECASE)
TRIGGERS = [after("last_act_kept", "INSERT", "last_act", f"DELETE FROM last_act WHERE id <= NEW.id - {KEPT_ACTIONS};")]


@dataclass
class Watched:
    """What a session wrote: rows added, values changed, rows removed, and whether anything else was done that is
    not known; `grown` are the tables that got rows in any way."""

    added: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    changed: list[tuple[str, dict[str, Any], dict[str, list[Any]]]] = field(default_factory=list)
    removed: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    is_known: bool = True
    wrote: bool = False
    grown: set[str] = field(default_factory=set)

    @property
    def can_be_taken_back(self) -> bool:
        """Whether all of it is known, and of a kind that may go."""
        tables = {table for table, _ in self.added + self.removed} | {table for table, _, _ in self.changed}
        return self.is_known and bool(tables) and not tables & _NOT_TAKEN_BACK


@contextmanager
def watched(session: Session) -> Iterator[Watched]:
    """Watch what `session` writes within the block."""
    seen, flushing = Watched(), False

    def begin(_session: Any, _context: Any, _instances: Any) -> None:
        nonlocal flushing
        flushing = True
        for row in session.dirty:
            if session.is_modified(row):
                _note_change(seen, row)
        for row in session.deleted:
            _note_removal(seen, row)

    def end(_session: Any, _context: Any) -> None:
        nonlocal flushing
        flushing = False
        seen.added += [(_table(row).name, _key(row)) for row in session.new]

    def statement(_connection: Any, _cursor: Any, text: str, *_rest: Any) -> None:
        if text.lstrip()[:7].upper().startswith(_WRITES):
            seen.wrote = True
            # Written past the session's own rows: how to take that back is not known.
            seen.is_known = seen.is_known and flushing
            if adds := _ADDS.match(text):
                seen.grown.add(adds[1])

    def rolled_back(_session: Any, _transaction: Any) -> None:
        # What was noted within a savepoint is not there any more.
        seen.is_known = False

    def connected(_session: Any, _transaction: Any, connection: Any) -> None:
        # Not before the session itself asks for one: a connection that writes locks the notebook for all others.
        if not any(target is connection for target, _, _ in listeners):
            event.listen(connection, "before_cursor_execute", statement)
            listeners.append((connection, "before_cursor_execute", statement))

    listeners: list[tuple[Any, str, Any]] = [
        (session, "before_flush", begin),
        (session, "after_flush", end),
        (session, "after_begin", connected),
        (session, "after_soft_rollback", rolled_back),
    ]
    for target, name, listener in listeners:
        event.listen(target, name, listener)
    if session.in_transaction():
        connected(session, None, session.connection())
    try:
        yield seen
    finally:
        for target, name, listener in listeners:
            event.remove(target, name, listener)


def keep_action(session: Session, seen: Watched, action: LastAction) -> int | None:
    """Write down the `action` that `seen` watched, with what it changed; its number if it can be taken back."""
    if not seen.wrote:
        return None
    action.changes = changes = json.dumps([seen.added, seen.changed, seen.removed]) if seen.can_be_taken_back else ""
    session.add(action)
    session.flush()
    return action.id if changes else None


def newest_action(session: Session) -> int:
    """The number of the newest action, which grows with each one that wrote anything; 0 before the first."""
    return session.exec(select(func.max(LastAction.id))).scalar_one() or 0  # type: ignore[call-overload]


def action_since(session: Session, number: int, path: str) -> LastAction | None:
    """The newest action after that of `number` that came from the form at `path`, else the newest after it at all."""
    later = select(LastAction).where(col(LastAction.id) > number)
    return session.scalars(later.order_by((col(LastAction.path) == path).desc(), col(LastAction.id).desc())).first()


def take_back(session: Session, act_id: int, at: str) -> LastAction:
    """Take back the last action. Raises NotFound, and Conflict if anything was written since."""
    action = session.get(LastAction, act_id)
    if action is None or not action.changes:
        raise NotFound("That is too long ago to be taken back in one go.")
    if action.taken_back_at is not None:
        raise Conflict("That was taken back already.")
    if newest_action(session) != act_id:
        raise Conflict("Something was written since, so it stays. Edit it or set it aside.")
    added, changed, removed = (*json.loads(action.changes), [])[:3]
    # Rows refer to each other in any order: what holds at the end is what counts.
    session.connection().exec_driver_sql("PRAGMA defer_foreign_keys = ON")
    # Ledgers first: they have to say so before what stands in other rows may go back.
    ledgers = [one for one in added if one[0] in _ANSWERED]
    for table, key in reversed(ledgers):
        _undo_addition(session, SQLModel.metadata.tables[table], key, at)
    for table, key, values in reversed(changed):
        _put_back(session, SQLModel.metadata.tables[table], key, values)
    for table, key in reversed([one for one in added if one[0] not in _ANSWERED]):
        _undo_addition(session, SQLModel.metadata.tables[table], key, at)
    for table, row in reversed(removed):
        session.connection().execute(insert(SQLModel.metadata.tables[table]).values(**row))
    action.taken_back_at = at
    session.add(action)
    _note_at_its_form(session, action)
    return action


def _note_at_its_form(session: Session, action: LastAction) -> None:
    """The form that did it stays known as sent; what it made is not there to be shown any more."""
    its = (col(SentForm.act_id) == action.id, col(SentForm.at) == action.at)
    gone = {"url": action.back_to, "undo": "", "taken_back_at": action.taken_back_at}
    session.execute(update(SentForm).where(*its).values(**gone))


def _put_back(session: Session, table: Table, key: dict[str, Any], values: dict[str, list[Any]]) -> None:
    there = [table.c[name].is_(None) if new is None else table.c[name] == new for name, (_, new) in values.items()]
    earlier = {name: old for name, (old, _) in values.items()}
    done = session.connection().execute(update(table).where(*_same(table, key), *there).values(**earlier))
    if done.rowcount != 1:
        raise Conflict("It was changed since: it cannot be taken back in one go any more.")


def _undo_addition(session: Session, table: Table, key: dict[str, Any], at: str) -> None:
    there = session.connection().execute(select(table).where(*_same(table, key))).mappings().first()
    if there is None:
        raise Conflict("It was changed since: it cannot be taken back in one go any more.")
    if table.name in _ANSWERED:
        one, other = _ANSWERED[table.name]
        answer = {name: value for name, value in there.items() if name not in key}
        answer |= {one: there[other], other: there[one], "why": "taken back", "at": at}
        session.connection().execute(insert(table).values(**answer))
    elif table.name in _SET_ASIDE and there["sha256"]:
        session.connection().execute(update(table).where(*_same(table, key)).values(set_aside_at=at))
    else:
        _remove(session, table, key)


def _remove(session: Session, table: Table, key: dict[str, Any]) -> None:
    if session.connection().execute(delete(table).where(*_same(table, key))).rowcount != 1:
        raise Conflict("It was changed since: it cannot be taken back in one go any more.")


def _same(table: Table, key: dict[str, Any]) -> list[Any]:
    return [table.c[name] == value for name, value in key.items()]


def _table(row: Any) -> Table:
    return row.__table__


def _key(row: Any) -> dict[str, Any]:
    return {column.name: getattr(row, column.key) for column in _table(row).primary_key}


def _note_removal(seen: Watched, row: Any) -> None:
    entry = (_table(row).name, _key(row))
    if entry in seen.added:
        seen.added.remove(entry)
        return
    values = {column.name: getattr(row, column.key) for column in _table(row).columns}
    history = [inspect(row).attrs[column.key].history for column in _table(row).columns]
    if any(isinstance(value, bytes) for value in values.values()) or any(each.has_changes() for each in history):
        seen.is_known = False
    else:
        seen.removed.append((entry[0], values))


def _note_change(seen: Watched, row: Any) -> None:
    values: dict[str, list[Any]] = {}
    for name, attribute in inspect(row).attrs.items():
        history = attribute.history
        if not history.has_changes():
            continue
        old = history.deleted[0] if history.deleted else _UNKNOWN
        new = history.added[0] if history.added else None
        if old is _UNKNOWN or isinstance(old, bytes) or isinstance(new, bytes):
            seen.is_known = False
            return
        values[name] = [old, new]
    # Equal values of another type, such as 3 and 3.0, are no change.
    if values:
        seen.changed.append((_table(row).name, _key(row), values))


_UNKNOWN = object()
