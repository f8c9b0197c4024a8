"""The rule of build states: what a change does to what is on the boat, and how the result is told apart.

Everything here is plain computation. A state's content is the fold of its changes; its fingerprint is the
hash of that content in canonical form, so the same boat has the same fingerprint however it got there.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

# Kinds of which a place carries one; of every other kind a place may carry several.
ONE_AT_A_PLACE = frozenset({
    "motor", "speed controller", "shaft", "strut", "stuffing tube", "rudder", "cooling", "receiver",
    "GPS unit",
})  # fmt: skip
Entries = Mapping[str, Any]


def _nothing() -> Entries:
    return MappingProxyType({})


class DoesNotFit(ValueError):
    """A change that cannot be made to what is on the boat; its text says why, in words for the page."""


@dataclass(frozen=True)
class ChangeFormData:
    """One event in a hull's history, as wanted or as written down.

    `kind` is one of CHANGE_KINDS. `detail` holds all that the state needs to know: the snapshot of a
    modification (fit, rework), of a part (install, with its `kind` and `name`), `{"value": ...}` of a
    setting, `{"what": ...}` of a damage or a repair.
    """

    kind: str
    place: str = "single"
    modification_id: int | None = None
    part_id: int | None = None
    setting: str = ""
    detail: Entries = field(default_factory=_nothing)
    note: str = ""


@dataclass(frozen=True)
class Content:
    """All that is on a boat: `fitted` by modification id, `parts` by slot and place, `settings` by key and
    place, `damage` not yet repaired by words and place. Values are plain JSON, not to be written to."""

    fitted: Entries = field(default_factory=_nothing)
    parts: Entries = field(default_factory=_nothing)
    settings: Entries = field(default_factory=_nothing)
    damage: Entries = field(default_factory=_nothing)


EMPTY = Content()


def canonical(thing: Any) -> str:
    """`thing` as JSON with sorted keys and no spaces: one text for one content. ValueError for nan."""
    return json.dumps(_tidy(thing), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def content_text(content: Content) -> str:
    """The canonical text of a content, as it is stored and hashed."""
    return canonical({name: getattr(content, name) for name in ("fitted", "parts", "settings", "damage")})


def read_content(text: str) -> Content:
    """The content that `content_text` wrote."""
    return Content(**{name: MappingProxyType(entries) for name, entries in json.loads(text).items()})


def fingerprint(content: Content) -> str:
    """SHA-256 of the canonical content, 64 hexadecimal digits."""
    return hashlib.sha256(content_text(content).encode()).hexdigest()


def short(whole_fingerprint: str) -> str:
    """The part of a fingerprint that is printed on sheets and labels."""
    return whole_fingerprint[:8]


def slot(kind: str, part_id: int) -> str:
    """Where a part of `kind` sits: its kind, or kind and part where a place may carry several."""
    return kind if kind in ONE_AT_A_PLACE else f"{kind}#{part_id}"


def at_place(key: str, place: str) -> str:
    """The key of an entry at a place: `strut_height@left`."""
    return f"{key}@{place}"


def split_place(key: str) -> tuple[str, str]:
    """What `at_place` joined."""
    name, _, place = key.rpartition("@")
    return name, place


def apply(content: Content, change: ChangeFormData) -> Content:
    """What is on the boat after `change`. Raises DoesNotFit in words."""
    return _ACTS[change.kind](content, change)


def fold(changes: Iterable[ChangeFormData], start: Content = EMPTY) -> Content:
    """What is on the boat after all of `changes`, one after the other. Raises DoesNotFit."""
    for change in changes:
        start = apply(start, change)
    return start


def with_settings(content: Content, mended: Entries) -> Content:
    """`content` as read with mistakes mended: `mended` holds the true values of settings by key and place."""
    return replace(content, settings=_with(content.settings, mended)) if mended else content


def part_key(content: Content, part_id: int) -> str | None:
    """The slot and place at which a part is installed."""
    return next((key for key, entry in content.parts.items() if entry["part_id"] == part_id), None)


def _fit(content: Content, change: ChangeFormData) -> Content:
    key = str(change.modification_id)
    if key in content.fitted:
        raise DoesNotFit(f"{_title(content.fitted[key])} is fitted already.")
    return replace(content, fitted=_with(content.fitted, {key: change.detail}))


def _rework(content: Content, change: ChangeFormData) -> Content:
    key = str(change.modification_id)
    if key not in content.fitted:
        raise DoesNotFit(f"{_title(change.detail)} is not fitted, so it cannot be reworked on the boat.")
    return replace(content, fitted=_with(content.fitted, {key: change.detail}))


def _take_off(content: Content, change: ChangeFormData) -> Content:
    key = str(change.modification_id)
    if key not in content.fitted:
        raise DoesNotFit(f"{_title(change.detail)} is not fitted, so it cannot be taken off.")
    return replace(content, fitted=_without(content.fitted, key))


def _install(content: Content, change: ChangeFormData) -> Content:
    assert change.part_id is not None
    kind = str(change.detail.get("kind", "other"))
    key = at_place(slot(kind, change.part_id), change.place)
    there = part_key(content, change.part_id)
    if there is not None:
        raise DoesNotFit(f"{_name(change.detail)} is on the boat already{_where(split_place(there)[1])}.")
    if key in content.parts:
        raise DoesNotFit(
            f"{_name(content.parts[key])} is installed{_where(change.place)} as {kind}: take it out first."
        )
    entry = {**change.detail, "part_id": change.part_id, "kind": kind}
    return replace(content, parts=_with(content.parts, {key: entry}))


def _take_out(content: Content, change: ChangeFormData) -> Content:
    assert change.part_id is not None
    key = part_key(content, change.part_id)
    if key is None:
        raise DoesNotFit(f"{_name(change.detail)} is not on the boat, so it cannot be taken out.")
    return replace(content, parts=_without(content.parts, key))


def _set(content: Content, change: ChangeFormData) -> Content:
    key = at_place(change.setting, change.place)
    value = change.detail.get("value")
    if value is None:
        return replace(content, settings=_without(content.settings, key))
    if isinstance(value, int):
        value = float(value)  # 3 and 3.0 are one setting, and are to have one fingerprint
    return replace(content, settings=_with(content.settings, {key: value}))


def _damage(content: Content, change: ChangeFormData) -> Content:
    what = str(change.detail.get("what", ""))
    key = at_place(what, change.place)
    if key in content.damage:
        raise DoesNotFit(f"“{what}” is written down as damage already.")
    return replace(content, damage=_with(content.damage, {key: change.detail}))


def _repair(content: Content, change: ChangeFormData) -> Content:
    what = str(change.detail.get("what", ""))
    key = at_place(what, change.place)
    if key not in content.damage:
        raise DoesNotFit(f"“{what}” is not among the open damage, so it cannot be repaired.")
    return replace(content, damage=_without(content.damage, key))


_ACTS = {
    "fit": _fit,
    "take off": _take_off,
    "rework": _rework,
    "install": _install,
    "take out": _take_out,
    "set": _set,
    "damage": _damage,
    "repair": _repair,
}


def _with(entries: Entries, more: Entries) -> Entries:
    # Through canonical text, so that what is folded in memory equals what is read back from the file.
    return MappingProxyType({**entries, **json.loads(canonical(dict(more)))})


def _without(entries: Entries, key: str) -> Entries:
    return MappingProxyType({name: entry for name, entry in entries.items() if name != key})


def _tidy(thing: Any) -> Any:
    if isinstance(thing, Mapping):
        return {str(name): _tidy(value) for name, value in thing.items()}
    if isinstance(thing, (list, tuple)):
        return [_tidy(value) for value in thing]
    if isinstance(thing, float) and thing == 0:
        return 0.0  # minus nothing is nothing
    return thing


def _title(detail: Entries) -> str:
    return str(detail.get("title") or "This modification")


def _name(detail: Entries) -> str:
    return str(detail.get("text") or detail.get("name") or detail.get("code") or "This part")


def _where(place: str) -> str:
    return "" if place == "single" else f" on the {place}"
