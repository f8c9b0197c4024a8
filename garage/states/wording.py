"""Changes, settings and differences in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from garage.fields.showing import in_unit
from garage.measures import Measure
from garage.states.fold import ChangeFormData, Content, split_place
from garage.states.settings_list import BALANCE, name_at, setting_of
from garage.units import KINDS, DisplayUnits, show

_DIMENSIONS = (
    ("width_mm", "length"), ("height_mm", "length"), ("diameter_mm", "length"), ("wall_mm", "length"),
    ("area_mm2", "area"),
)  # fmt: skip
_METRIC = DisplayUnits.metric()
NOT_KNOWN = "not known"
# Within a step in which something was mended: what a state was written with.
STOOD = "stood"


@dataclass(frozen=True)
class Difference:
    """One thing that differs between two states: what it is, what it was, what it is after."""

    group: str
    what: str
    before: str
    after: str
    mass_before: Measure | None = None
    mass_after: Measure | None = None

    @property
    def sentence(self) -> str:
        """The difference in one phrase: `Strut height: 12 mm, then 10 mm`."""
        return f"{self.what}: {self.before}, then {self.after}"


def where(place: str) -> str:
    """A place at the end of a phrase; nothing for a place that there is one of."""
    return "" if place == "single" else f", {place}"


def quantity_text(value: float, kind: str, units: DisplayUnits) -> str:
    """A number with its unit, as one reads it."""
    return str(show(value, kind, units.unit(kind)))


def setting_text(key: str, value: Any, units: DisplayUnits = _METRIC) -> str:
    """A setting's value in words, without its datum."""
    if value is None:
        return NOT_KNOWN
    if key == BALANCE and isinstance(value, Mapping):
        return _balance_text(value, units)
    setting = setting_of(key)
    if not isinstance(value, float | int):
        return str(value)
    if setting and setting.kind in KINDS:
        return quantity_text(value, setting.kind, units)
    return in_unit(value, setting.unit if setting else "")


def _balance_text(value: Mapping[str, Any], units: DisplayUnits) -> str:
    numbers = [
        quantity_text(value[name], kind, units)
        for name, kind in (("percent", "percent"), ("mm", "length"))
        if value.get(name) is not None
    ]
    return f"{', '.join(numbers)} from {value['datum']}"


def step_text(step: Mapping[str, Any], units: DisplayUnits = _METRIC) -> str:
    """A step as a state remembers it: what was done, with material and dimensions."""
    done = " ".join(str(step[name]) for name in ("action", "what") if step.get(name))
    sizes = [quantity_text(step[name], kind, units) for name, kind in _DIMENSIONS if step.get(name) is not None]
    section = " ".join(part for part in (str(step.get("section") or ""), " × ".join(sizes)) if part)
    length = step.get("length_mm")
    count = step.get("count") or 1
    pieces = (
        done,
        str(step.get("material") or ""),
        section,
        f"{quantity_text(length, 'length', units)} long" if length is not None else "",
        f"{count} of them" if count != 1 else "",
        str(step.get("adhesive") or ""),
        str(step.get("finish") or ""),
    )
    stood = f" (mended; there stood: {step_text(step[STOOD], units)})" if STOOD in step else ""
    return ", ".join(piece for piece in pieces if piece) + stood


def part_name(detail: Mapping[str, Any]) -> str:
    """A part as a state remembers it: `M3 motor, blue can`."""
    head = " ".join(str(detail[name]) for name in ("code", "kind") if detail.get(name))
    whole = ", ".join(piece for piece in (head, str(detail.get("name") or "")) if piece)
    return whole or str(detail.get("text") or "part")


def fitted_mass(detail: Mapping[str, Any]) -> Measure:
    """What a fitted modification weighs, and how that is known."""
    mass = detail.get("mass_g")
    return Measure(mass, "mass", str(detail.get("mass_from") or "") if mass is not None else "")


def part_mass(detail: Mapping[str, Any]) -> Measure:
    """What a part weighs, as written down with it."""
    mass = detail.get("mass_g")
    return Measure(mass, "mass", "weighed or stated" if mass is not None else "")


def change_text(change: ChangeFormData, units: DisplayUnits = _METRIC) -> str:
    """One change in a phrase."""
    detail, place = change.detail, where(change.place)
    if change.kind in ("fit", "take off", "rework"):
        verb = {"fit": "fitted", "take off": "taken off", "rework": "reworked"}[change.kind]
        return f"{detail.get('title') or 'a modification'} {verb}"
    if change.kind in ("install", "take out"):
        verb = "installed" if change.kind == "install" else "taken out"
        return f"{part_name(detail)} {verb}{place}"
    if change.kind == "set":
        now = setting_text(change.setting, detail.get("value"), units)
        was = detail.get("was")
        before = f" (was {setting_text(change.setting, was, units)})" if was is not None else ""
        return f"{name_at(change.setting, change.place)} set to {now}{before}"
    return f"{'Damage' if change.kind == 'damage' else 'Repaired'}: {detail.get('what', '')}{place}"


def differences(before: Content, after: Content, units: DisplayUnits = _METRIC) -> list[Difference]:
    """What differs between two contents, in words with dimensions and mass: nothing for the same boat."""
    return [
        *_fitted_differences(before, after, units),
        *_part_differences(before, after),
        *_setting_differences(before, after, units),
        *_damage_differences(before, after),
    ]


def _keys(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    return [key for key in sorted({*before, *after}) if before.get(key) != after.get(key)]


def _fitted_differences(before: Content, after: Content, units: DisplayUnits) -> list[Difference]:
    found = []
    for key in _keys(before.fitted, after.fitted):
        was, now = before.fitted.get(key), after.fitted.get(key)
        title = str((now or was or {}).get("title") or "modification")
        found.append(
            Difference(
                "modification", title, _fitted_text(was, units), _fitted_text(now, units),
                fitted_mass(was) if was else None, fitted_mass(now) if now else None,
            )
        )  # fmt: skip
    return found


def _fitted_text(detail: Mapping[str, Any] | None, units: DisplayUnits) -> str:
    if detail is None:
        return "not fitted"
    steps = "; ".join(step_text(step, units) for step in detail.get("steps") or [] if step.get("section"))
    return f"fitted: {steps}" if steps else "fitted"


def _part_differences(before: Content, after: Content) -> list[Difference]:
    found = []
    for key in _keys(before.parts, after.parts):
        was, now = before.parts.get(key), after.parts.get(key)
        slot, place = split_place(key)
        found.append(
            Difference(
                "hardware", slot[:1].upper() + slot[1:].split("#")[0] + where(place),
                part_name(was) if was else "none", part_name(now) if now else "none",
                part_mass(was) if was else None, part_mass(now) if now else None,
            )
        )  # fmt: skip
    return found


def _setting_differences(before: Content, after: Content, units: DisplayUnits) -> list[Difference]:
    found = []
    for key in _keys(before.settings, after.settings):
        name, place = split_place(key)
        was, now = before.settings.get(key), after.settings.get(key)
        found.append(
            Difference(
                "setting",
                name_at(name, place),
                setting_text(name, was, units),
                setting_text(name, now, units),
            )
        )
    return found


def _damage_differences(before: Content, after: Content) -> list[Difference]:
    found = []
    for key in _keys(before.damage, after.damage):
        what, place = split_place(key)
        was, now = ("damaged" if key in content.damage else "whole" for content in (before, after))
        found.append(Difference("damage", what + where(place), was, now))
    return found
