"""A hull's history with some of its visits otherwise: which states would stand, worked out before any is written."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from garage.moments import Moment
from garage.states.fold import EMPTY, ChangeFormData, Content, DoesNotFit, apply, at_place
from garage.states.past import Written


@dataclass(frozen=True)
class Wish:
    """A visit as it should stand, in place of the state `old` or as one of its own.

    What was mended is mended in what takes its place: `sources` are the changes, by id, from which each of its own
    stems (None for a new one), `note_source` the state of the note; with neither, all is as in `old`.
    """

    made: Moment
    note: str
    changes: tuple[ChangeFormData, ...]
    old: Written | None = None
    sources: tuple[int | None, ...] = ()
    note_source: int | None = None


@dataclass(frozen=True)
class Ahead:
    """A state to be written for a wish, with its changes as they find the boat then."""

    wish: Wish
    changes: tuple[ChangeFormData, ...]
    content: Content


@dataclass(frozen=True)
class Rewriting:
    """States that stay, in the order of time, then those to be written, and the old ones that give way. `problem` says
    what does not fit."""

    kept: tuple[Written, ...]
    ahead: tuple[Ahead, ...]
    gone: tuple[Written, ...]
    problem: str = ""


def as_it_stands(written: Written) -> Wish:
    """The wish to leave a state as it was made."""
    return Wish(written.made, written.note, written.changes, written)


def unchanged(line: Sequence[Written], wishes: Sequence[Wish]) -> int:
    """How many states of `line` are first to stay as they are."""
    pairs = enumerate(zip(line, wishes, strict=False))
    return next((place for place, (old, wish) in pairs if wish != as_it_stands(old)), min(len(line), len(wishes)))


def rewriting(
    line: Sequence[Written], wishes: Sequence[Wish], mended: Mapping[int, Mapping[str, Any]] = MappingProxyType({})
) -> Rewriting:
    """What makes the states of `line` those of `wishes`, both in the order of time. From the first that differs on, all
    are written anew, since each builds on the one before it.

    `mended` has what settings of a state should have read, by its id: that is what a change found there.
    """
    same = unchanged(line, wishes)
    kept, gone = tuple(line[:same]), tuple(line[same:])
    content = kept[-1].content if kept else EMPTY
    found_by = _found_by(line)
    shown = dict(mended.get(kept[-1].id, {})) if kept else {}
    ahead: list[Ahead] = []
    for wish in wishes[same:]:
        before = found_by.get(wish.old.id, ()) if wish.old and wish.changes == wish.old.changes else ()
        changes = []
        try:
            for place, change in enumerate(wish.changes):
                seen = _seen(content, change, before[place] if before else None, shown)
                content = apply(content, seen)
                changes.append(seen)
        except DoesNotFit as error:
            where = f"Build state {wish.old.number}" if wish.old else "What would be put in"
            return Rewriting(kept, tuple(ahead), gone, f"{where}, {wish.made.day()}: {error}")
        ahead.append(Ahead(wish, tuple(changes), content))
    return Rewriting(kept, tuple(ahead), gone)


def _found_by(line: Sequence[Written]) -> dict[int, tuple[Content, ...]]:
    """What each change of each state found on the boat."""
    content, found = EMPTY, {}
    for written in line:
        before = []
        for change in written.changes:
            before.append(content)
            content = apply(content, change)
        content = written.content
        found[written.id] = tuple(before)
    return found


def _seen(content: Content, change: ChangeFormData, before: Content | None, mended: dict[str, Any]) -> ChangeFormData:
    """A change with what it finds on the boat. One of a setting that finds what it found `before` keeps what it says of
    that: a slip mended there is then still told as mended."""
    if change.kind == "take off":
        return replace(change, detail=content.fitted.get(str(change.modification_id), change.detail))
    if change.kind == "take out":
        there = [entry for entry in content.parts.values() if entry["part_id"] == change.part_id]
        return replace(change, detail=there[0]) if there else change
    if change.kind != "set":
        return change
    key = at_place(change.setting, change.place)
    was = mended.pop(key, content.settings.get(key))
    if before is not None and content.settings.get(key) == before.settings.get(key):
        return change
    return replace(change, detail={"value": change.detail.get("value"), "was": was})
