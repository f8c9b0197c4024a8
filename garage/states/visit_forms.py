"""A visit to the workshop: text to the changes that were made, or messages beside the fields."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.fold import ChangeFormData, Content, at_place, split_place
from garage.states.settings_list import ANGLE, HEIGHT, MOST_TEXT, Setting, asked_for, balance_datum, left_over
from garage.states.tables import PLACES
from garage.web.fields import Reader

PART_LINES = 10
DAMAGE_LINES = 2
BALANCE_MM, BALANCE_PERCENT = "set_balance_mm", "set_balance_percent"
# Typed both ways, the two may differ by what a folding rule shows; own choice.
_BALANCE_AGREES_MM = 2.0
_BALANCE_PERCENT = (-60, 100)
_MOST_WORDS = 200
_CARRY_THE_SHAFT = ("strut", "stuffing tube")


@dataclass(frozen=True)
class OnOffer:
    """What a visit can be about, by id with its name: modifications not on the boat, modifications on it that
    were worked on since, and parts not on it."""

    fittable: Mapping[int, str]
    reworkable: Mapping[int, str]
    installable: Mapping[int, str]


@dataclass(frozen=True)
class VisitFormData:
    """A visit as typed: the changes in the order in which they are made, when, and a note.

    What a state keeps of a modification or part is filled in from the notebook later on.
    """

    changes: tuple[ChangeFormData, ...]
    at: Moment
    note: str


def read_visit(reader: Reader, names: Iterable[str], hull: Hull, content: Content, offer: OnOffer) -> VisitFormData:
    """The visit typed into the form with fields `names`, against what is on the boat. Raises FormErrors.

    Things come off before others go on, so that one may take another's place in one visit.
    """
    changes = [
        *_taken_off(reader, content),
        *_taken_out(reader, content),
        *_fitted(reader, "rework", offer.reworkable),
        *_fitted(reader, "fit", offer.fittable),
        *_installed(reader, hull, offer),
        *_settings(reader, hull, content),
        *_damaged(reader),
        *_repaired(reader, content),
    ]
    _refuse_left_over(reader, names, content, offer)
    _refuse_put_away(reader, names, hull)
    at = reader.moment("at", required=True)
    note = reader.long_text("note", most=2000)
    if not changes and not reader.errors:
        reader.fail("", "Nothing is different yet: choose or write what was changed on the boat.")
    reader.finish()
    assert at is not None
    return VisitFormData(tuple(changes), at, note)


def damage_field(key: str) -> str:
    """The name of the tick box that says an open damage was repaired."""
    return f"repaired_{hashlib.sha256(key.encode()).hexdigest()[:12]}"


def _refuse_left_over(reader: Reader, names: Iterable[str], content: Content, offer: OnOffer) -> None:
    """A box ticked for something that was not there at the time of the visit is said, never dropped."""
    known = {f"take_off_{key}" for key in content.fitted}
    known |= {f"take_out_{entry['part_id']}" for entry in content.parts.values()}
    known |= {f"fit_{key}" for key in offer.fittable} | {f"rework_{key}" for key in offer.reworkable}
    known |= {damage_field(key) for key in content.damage}
    for name in names:
        if name.startswith(("take_off_", "take_out_", "fit_", "rework_", "repaired_")) and name not in known:
            reader.fail(name, "Something ticked does not go with the boat as it stood at that time; look again.")


def _refuse_put_away(reader: Reader, names: Iterable[str], hull: Hull) -> None:
    """What was typed into a person's own setting that was put away since the form was opened is said, never dropped."""
    asked = {setting.field(place) for setting, place in asked_for(hull.screws)}
    for name in names:
        if name.startswith("set_own_") and name not in asked and reader.text(name, most=MOST_TEXT):
            reader.fail(name, "A setting of your own was put away since this page was opened: it is left out now.")


def _taken_off(reader: Reader, content: Content) -> Iterable[ChangeFormData]:
    for key in content.fitted:
        if reader.flag(f"take_off_{key}"):
            yield ChangeFormData("take off", modification_id=int(key), detail=content.fitted[key])


def _taken_out(reader: Reader, content: Content) -> Iterable[ChangeFormData]:
    for key, entry in content.parts.items():
        if reader.flag(f"take_out_{entry['part_id']}"):
            yield ChangeFormData("take out", split_place(key)[1], part_id=entry["part_id"], detail=entry)


def _fitted(reader: Reader, kind: str, offered: Mapping[int, str]) -> Iterable[ChangeFormData]:
    for modification_id, title in offered.items():
        if reader.flag(f"{kind}_{modification_id}"):
            yield ChangeFormData(kind, modification_id=modification_id, detail={"title": title})


def _installed(reader: Reader, hull: Hull, offer: OnOffer) -> Iterable[ChangeFormData]:
    seen: set[str] = set()
    for line in range(1, PART_LINES + 1):
        chosen = reader.choice(f"part_{line}", (str(part_id) for part_id in offer.installable))
        place = reader.choice(f"part_place_{line}", PLACES)
        if chosen and not place and hull.screws == 2:
            reader.fail(f"part_place_{line}", "Two screws: is it the left one, the right one, or the only one?")
        if chosen in seen:
            reader.fail(f"part_{line}", "This part was chosen above already; a part sits at one place.")
        elif chosen:
            seen.add(chosen)
            name = offer.installable[int(chosen)]
            yield ChangeFormData("install", place or "single", part_id=int(chosen), detail={"text": name})


def _damaged(reader: Reader) -> Iterable[ChangeFormData]:
    for line in range(1, DAMAGE_LINES + 1):
        what = reader.text(f"damage_{line}", most=_MOST_WORDS)
        place = reader.choice(f"damage_place_{line}", PLACES) or "single"
        if what:
            yield ChangeFormData("damage", place, detail={"what": what})


def _repaired(reader: Reader, content: Content) -> Iterable[ChangeFormData]:
    for key in content.damage:
        if reader.flag(damage_field(key)):
            what, place = split_place(key)
            yield ChangeFormData("repair", place, detail={"what": what})


def _settings(reader: Reader, hull: Hull, content: Content) -> list[ChangeFormData]:
    changes = []
    written: set[str] = set()
    for setting, place in left_over(hull.screws, content.settings):
        if reader.flag(f"clear_{setting.key}_{place}"):
            changes.append(ChangeFormData("set", place, setting=setting.key, detail={"value": None}))
    for setting, place in asked_for(hull.screws):
        key = at_place(setting.key, place)
        now = content.settings.get(key)
        field = setting.field(place)
        is_balance = setting.kind == "balance"
        value = _balance(reader, hull, now) if is_balance else read_setting(reader, setting, hull, field)
        if value is None and now is not None and reader.flag(f"clear_{setting.key}_{place}"):
            changes.append(ChangeFormData("set", place, setting=setting.key, detail={"value": None}))
        if value is None:
            continue
        written.add(key)
        if value != now:
            changes.append(ChangeFormData("set", place, setting=setting.key, detail={"value": value}))
    if hull.fixed_tube:
        _ask_for_both(reader, hull, changes, written)
    _ask_after_another_strut(reader, hull, content, written)
    return changes


def _ask_after_another_strut(reader: Reader, hull: Hull, content: Content, written: set[str]) -> None:
    """What was measured on a strut or tube that is taken out says nothing of the next one."""
    places = {
        split_place(key)[1]
        for key, entry in content.parts.items()
        if entry["kind"] in _CARRY_THE_SHAFT and reader.flag(f"take_out_{entry['part_id']}")
    }
    for setting, place in asked_for(hull.screws):
        key = at_place(setting.key, place)
        if setting.key not in (HEIGHT, ANGLE) or place not in places or key not in content.settings:
            continue
        if key not in written and not reader.flag(f"clear_{setting.key}_{place}"):
            reader.fail(
                setting.field(place),
                "The strut or its tube comes out: measure this anew. If it came out the same, write it once more; "
                "with nothing in its place, tick below that it does not apply any more.",
            )


def _ask_for_both(reader: Reader, hull: Hull, changes: list[ChangeFormData], written: set[str]) -> None:
    """On a fixed stuffing tube the strut swings on an arc: height and angle are measured together."""
    fields = {at_place(setting.key, place): setting.field(place) for setting, place in asked_for(hull.screws)}
    for change in changes:
        if change.setting not in (HEIGHT, ANGLE) or change.detail["value"] is None:
            continue
        other = ANGLE if change.setting == HEIGHT else HEIGHT
        key = at_place(other, change.place)
        if key not in written:
            word = "angle" if other == ANGLE else "height"
            reader.fail(
                fields[key],
                f"On a fixed stuffing tube the strut’s {word} moves along: measure it too. "
                "If it came out the same, write it once more.",
            )


def _balance(reader: Reader, hull: Hull, now: Any) -> dict[str, Any] | None:
    """The balance point: as typed in millimetres, percent or both; the other from the hull's length.

    What stands there `now` comes back if what was typed says the same.
    """
    mm = reader.quantity(BALANCE_MM, "length", -2000, 3000)
    percent = reader.quantity(BALANCE_PERCENT, "percent", *_BALANCE_PERCENT)
    if mm is None and percent is None:
        return None
    if now and all(typed is None or typed == now.get(name) for name, typed in (("mm", mm), ("percent", percent))):
        return dict(now)
    length = hull.length_mm
    if length and mm is not None and abs(mm) > length:
        reader.fail(BALANCE_MM, f"That is more than the hull’s length of {reader.shown(length, 'length')}.")
    elif length and mm is not None and percent is not None and not _agree(mm, percent, length):
        reader.fail(
            BALANCE_PERCENT,
            f"{reader.shown(mm, 'length')} of a hull of {reader.shown(length, 'length')} are "
            f"{mm / length * 100:.1f} %: one of the two is a slip. "
            "One of them is enough.",
        )
    return balance_value(mm, percent, hull)


def _agree(mm: float, percent: float, length_mm: float) -> bool:
    return abs(mm - percent / 100 * length_mm) <= _BALANCE_AGREES_MM


def read_setting(reader: Reader, setting: Setting, hull: Hull, field: str) -> Any:
    """One setting's value from a single field; a balance point as a distance, or as percent with its sign."""
    if setting.kind == "text":
        return reader.text(field, most=MOST_TEXT) or None
    if setting.kind == "choice":
        return reader.choice(field, setting.choices) or None
    if setting.kind == "number":
        return reader.number(field, setting.low, setting.high)
    if setting.kind != "balance":
        return reader.quantity(field, setting.kind, setting.low, setting.high)
    if reader.text(field).endswith("%"):
        percent = reader.quantity(field, "percent", *_BALANCE_PERCENT)
        return None if percent is None else balance_value(None, percent, hull)
    mm = reader.quantity(field, "length", setting.low, setting.high)
    return None if mm is None else balance_value(mm, None, hull)


def balance_value(mm: float | None, percent: float | None, hull: Hull) -> dict[str, Any]:
    """A balance point in mm and percent of the hull's length, with its datum: what was not given is computed.

    `typed` says which was given; `length_mm` is what the other was computed from.
    """
    length = hull.length_mm
    typed = "both" if mm is not None and percent is not None else "mm" if mm is not None else "percent"
    if length and percent is None and mm is not None:
        percent = round(mm / length * 100, 3)
    elif length and mm is None and percent is not None:
        mm = round(percent / 100 * length, 2)
    value = {"mm": mm, "percent": percent, "datum": balance_datum(hull.kind), "typed": typed}
    return value | ({"length_mm": length} if length and typed != "both" else {})
