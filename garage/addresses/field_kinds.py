"""What a field's name says about its unit: the house calls the same quantity by the same name on every sheet."""

from collections.abc import Mapping
from types import MappingProxyType

from garage.fields.definition import ending_of
from garage.units import KINDS

# The kinds of measure, each with the fields that are always of it, beside those that are called as the kind itself.
# Fields that hold measures of several kinds (the figures of a part, say) are not here: each of their values names its
# unit.
_OF_KIND = {
    "charge": "capacity capacity_measured charge_back",
    "current": "average_current next_current",
    "distance": "course radius",
    "energy_per_distance": "per_km",
    "heat": "heat_by_current heat_by_rise",
    "hours": "cure hardening",
    "length": "beam blade_pitches diameter pitch point",
    "angle": "deadrise",
    "mass": "bare_mass computed mass_added mass_after mass_before running_mass weighed",
    "minutes": "rest spent",
    "percent": "kept sag_share share slip state_of_charge",
    "resistance": "at_25 cells limit now per_cell read",
    "speed": "before best entry exit lowest mean peak pitch_speed speed_limit speeds top two_way",
    "temperature": "air cure_temperature hot_day reading start_temperature",
    "temperature_rise": "left pack_rise rise",
    "time_after": "after",
    "voltage": "cells_after end full_v_per_cell imbalance rested rested_per_cell sag spread voltage_after",
}
_BY_NAME = {kind: kind for kind in KINDS} | {name: kind for kind, names in _OF_KIND.items() for name in names.split()}
# Where a sheet means something else by a name; None where its values are of several kinds.
_EXCEPTIONS: Mapping[tuple[str, str], str | None] = MappingProxyType({
    ("PassRow", "course"): "speed",
    ("PassRow", "length"): "distance",
    ("EditionView", "spread"): "percent",
    ("BalancePage", "computed"): None,
})  # fmt: skip

# Plain numbers carry their unit at the end of their name: as the columns of measures do, or as nothing else does.
_ENDINGS = {f"_{ending_of(kind)}": KINDS[kind].storage_unit for kind in KINDS if ending_of(kind)} | {
    "_minutes": "min", "_hours": "h", "_hz": "Hz", "_points": "log points x 100",
}  # fmt: skip
_WHOLE_NAMES = {"percent": "%", "minutes": "min", "hours": "h", "chance": "from 0 to 1"}
_NO_UNIT = ("cells_s", "lateral_g")


def measure_kind(sheet: str, field: str) -> str | None:
    """Of which kind the measures in `field` of the dataclass called `sheet` always are; None where they differ."""
    if (sheet, field) in _EXCEPTIONS:
        return _EXCEPTIONS[sheet, field]
    return _BY_NAME.get(field)


def unit_of_kind(kind: str | None) -> str:
    """The storage unit of a kind; '' for several kinds."""
    return KINDS[kind].storage_unit if kind else ""


def number_unit(field: str) -> str:
    """The unit that the name of a plain number carries, or ''."""
    if field in _NO_UNIT:
        return "g (standard gravity)" if field == "lateral_g" else ""
    if field in _WHOLE_NAMES:
        return _WHOLE_NAMES[field]
    found = [ending for ending in _ENDINGS if field.endswith(ending)]
    return _ENDINGS[max(found, key=len)] if found else ""
