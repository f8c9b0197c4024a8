"""Everything on a boat in a build state, line by line, with dimensions and how each number is known."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from garage.corrections.sheets import Mended
from garage.drives.fields import figures_of_kind
from garage.measures import Measure
from garage.states.fold import Content, split_place
from garage.states.settings_list import BALANCE, GROUPS, SETTINGS, name_at, setting_of
from garage.states.wording import fitted_mass, part_mass, part_name, setting_text, step_text
from garage.units import KINDS, DisplayUnits, show

_ORDER = {setting.key: position for position, setting in enumerate(SETTINGS)}
_WEIGHED = ("running_mass", "gps_mass")
_AS_SET = ("motor_timing",)
_BALANCE_ORIGIN = {
    "mm": "measured",
    "percent": "measured",
    "both": "measured both ways",
}


@dataclass(frozen=True)
class FittedLine:
    """One modification on the boat, with what each of its steps put there."""

    modification_id: int
    title: str
    trial: bool
    permanence: str
    mass: Measure
    steps: list[str]


@dataclass(frozen=True)
class PartLine:
    """One piece of hardware on the boat. A figure is a measure, or a plain text."""

    part_id: int
    kind: str
    place: str
    text: str
    mass: Measure
    figures: list[tuple[str, Measure | str]]


@dataclass(frozen=True)
class SettingLine:
    """One setting: its value as measures (a balance point has two) or as text, and where it is measured."""

    key: str
    place: str
    name: str
    measures: list[Measure]
    text: str
    datum: str
    mended: list[Mended]


@dataclass(frozen=True)
class SettingGroup:
    """Settings that belong together."""

    name: str
    lines: list[SettingLine]


@dataclass(frozen=True)
class DamageLine:
    """Something damaged and not yet repaired."""

    what: str
    place: str


@dataclass(frozen=True)
class ContentSheet:
    """All that is on a boat."""

    fitted: list[FittedLine]
    parts: list[PartLine]
    settings: list[SettingGroup]
    damage: list[DamageLine]
    mass_added: Measure

    @property
    def is_empty(self) -> bool:
        """Whether nothing at all was written down."""
        return not (self.fitted or self.parts or self.settings or self.damage)


def content_sheet(
    content: Content, units: DisplayUnits, mended: Mapping[str, list[Mended]] | None = None
) -> ContentSheet:
    """`content` line by line; `mended` holds the mistakes mended in settings, by key and place."""
    fitted = [_fitted_line(key, detail, units) for key, detail in content.fitted.items()]
    parts = [_part_line(key, detail) for key, detail in sorted(content.parts.items())]
    damage = [DamageLine(*split_place(key)) for key in sorted(content.damage)]
    groups = setting_groups(content.settings, units, mended or {})
    return ContentSheet(
        fitted,
        parts,
        groups,
        damage,
        _total([*(line.mass for line in fitted), *(line.mass for line in parts)]),
    )


def setting_groups(
    settings: Mapping[str, Any], units: DisplayUnits, mended: Mapping[str, list[Mended]]
) -> list[SettingGroup]:
    """Settings in their groups, in the order of the list of settings."""
    keys = sorted(settings, key=lambda key: (_ORDER.get(split_place(key)[0], 999), key))
    lines = [setting_line(key, settings[key], units, mended.get(key, [])) for key in keys]
    return [
        SettingGroup(group, chosen)
        for group in (*GROUPS, "")
        if (chosen := [line for line in lines if _group(line.key) == group])
    ]


def setting_line(key_at_place: str, value: Any, units: DisplayUnits, mended: list[Mended]) -> SettingLine:
    """One setting as a line."""
    key, place = split_place(key_at_place)
    known = setting_of(key)
    measures = _measures(key, value, units)
    datum = f"from {value['datum']}" if key == BALANCE else known.datum if known and measures else ""
    text = "" if measures else setting_text(key, value, units)
    return SettingLine(key, place, name_at(key, place), measures, text, datum, mended)


def _measures(key: str, value: Any, units: DisplayUnits) -> list[Measure]:
    if key == BALANCE:
        return _balance_measures(value, units)
    setting = setting_of(key)
    if isinstance(value, int | float) and setting and setting.kind in KINDS:
        origin = "weighed" if key in _WEIGHED else "as set" if key in _AS_SET else "measured"
        return [Measure(value, setting.kind, origin)]
    return []


def _balance_measures(value: Mapping[str, Any], units: DisplayUnits) -> list[Measure]:
    typed, length = value["typed"], value.get("length_mm")
    computed = "computed"
    if length:
        shown = show(length, "length", units.unit("length"))
        computed = f"computed from the other and the hull's length of {shown}"
    pairs = (("percent", "percent"), ("mm", "length"))
    return [
        Measure(value[name], kind, _BALANCE_ORIGIN[typed] if typed in (name, "both") else computed)
        for name, kind in pairs
        if value.get(name) is not None
    ]


def _group(key: str) -> str:
    setting = setting_of(key)
    return setting.group if setting else ""


def _fitted_line(key: str, detail: Mapping[str, Any], units: DisplayUnits) -> FittedLine:
    return FittedLine(
        int(key),
        str(detail.get("title") or "Modification"),
        bool(detail.get("trial")),
        str(detail.get("permanence") or ""),
        fitted_mass(detail),
        [step_text(step, units) for step in detail.get("steps") or []],
    )


def _part_line(key: str, detail: Mapping[str, Any]) -> PartLine:
    figures: list[tuple[str, Measure | str]] = []
    for figure in figures_of_kind(detail["kind"]):
        value = detail.get(figure.column)
        if value is None or figure.column == "mass_g":
            continue
        shown = Measure(value, figure.kind, figure.origin) if figure.kind in KINDS else str(value)
        figures.append((figure.label, shown))
    return PartLine(
        detail["part_id"], detail["kind"], split_place(key)[1], part_name(detail), part_mass(detail), figures
    )


def _total(masses: Iterable[Measure]) -> Measure:
    """The sum of what is known, saying how much is not."""
    listed = list(masses)
    known = [mass.value for mass in listed if mass.value is not None]
    if not known:
        return Measure(None, "mass")
    missing = len(listed) - len(known)
    origin = f"sum of the {len(known)} known here, without the bare hull"
    return Measure(sum(known), "mass", origin, f"{missing} not known yet" if missing else "")
