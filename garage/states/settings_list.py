"""Every setting that a build state can hold: what it is measured from, which way is plus, where it applies.

Ranges are wide on purpose: they catch slips of the pen, not unusual boats.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from garage.own_fields.at_hand import Own, known
from garage.units import KINDS

BALANCE = "balance_point"
HEIGHT, ANGLE = "strut_height", "strut_angle"
MOST_TEXT = 400
# What builders measure from, gathered from their threads; common practice, no source.
_DATUMS = {
    "mono": "the transom",
    "catamaran": "the rear end of the sponsons",
    "tunnel": "the transom",
    "hydroplane": "the sponson transom",
    "outrigger": "the sponson transom",
    "other": "the transom",
}


@dataclass(frozen=True)
class Setting:
    """One setting. `kind` is a kind of measure, "text" or "balance"; of those that a person added also "choice", with
    its `choices`, or "number", with a `unit` in their own words. `step` is what it is usually changed by. `places` is
    "single", "sides" (left and right on any hull) or "screws" (left and right on a hull with two screws)."""

    key: str
    name: str
    group: str
    kind: str
    datum: str = ""
    places: str = "single"
    low: float | None = None
    high: float | None = None
    hint: str = ""
    choices: tuple[str, ...] = ()
    unit: str = ""
    step: float | None = None

    @property
    def is_number(self) -> bool:
        """Whether its value is a number that can be counted with."""
        return self.kind in KINDS or self.kind in ("balance", "number")

    def field(self, place: str) -> str:
        """The name of its field in a form."""
        return f"set_{self.key}_{place}"


_DRIVE, _BALANCE, _TABS, _RUDDER = "Strut and shaft", "Balance and mass", "Tabs and fins", "Rudder"
_MOTOR, _RADIO, _WATER, _GPS = "Motor and controller", "Radio", "Cooling", "GPS unit"
_SIDEWAYS = "plus: to the right, minus: to the left"

SETTINGS: tuple[Setting, ...] = (
    Setting(HEIGHT, "Strut height", _DRIVE, "length",
            "shaft centreline to the hull bottom; plus: below it, minus: above it", "screws", -100, 150,
            "at the strut, boat upside down on a flat board"),
    Setting(ANGLE, "Strut angle", _DRIVE, "angle",
            "shaft to the hull bottom; plus: it points up going aft, minus: down", "screws", -20, 20,
            "plus lets a mono or catamaran run looser, but pushes the rear of a hydroplane down: the "
            "sign works in reverse there"),
    Setting("strut_offset", "Strut offset", _DRIVE, "length",
            f"shaft to the hull's centreline; {_SIDEWAYS}", "screws", -300, 300),
    Setting("strut_reach", "Drive dog behind the transom", _DRIVE, "length",
            "transom to the drive dog, going aft", "screws", -100, 400),
    Setting("dog_gap", "Gap between dog and strut", _DRIVE, "length",
            "drive dog to the end of the strut, cold", "screws", 0, 30,
            "the shaft shortens under load; about one shaft diameter is common practice, no source"),
    Setting(BALANCE, "Balance point", _BALANCE, "balance",
            "", "single", -2000, 3000, "with everything in that goes on the water, packs as well"),
    Setting("lateral_balance", "Lateral balance", _BALANCE, "length",
            f"balance point to the hull's centreline; {_SIDEWAYS}", "single", -200, 200),
    Setting("ballast", "Ballast", _BALANCE, "text", "where and how much"),
    Setting("running_mass", "Running mass", _BALANCE, "mass",
            "weighed, with the packs in", "single", 50, 50000),
    Setting("tab_angle", "Trim tab angle", _TABS, "angle",
            "tab to the hull bottom carried on aft; plus: tab down", "sides", -20, 45),
    Setting("fin_angle", "Turn fin angle", _TABS, "angle",
            "fin to the bottom panel it stands on; 90° is square to it", "sides", 20, 160),
    Setting("fin_depth", "Turn fin depth", _TABS, "length",
            "hull bottom to the fin's lower edge", "sides", 0, 300),
    Setting("rudder_depth", "Rudder depth", _RUDDER, "length",
            "hull bottom to the rudder's lower edge", "screws", 0, 400),
    Setting("rudder_rake", "Rudder rake", _RUDDER, "angle",
            "to upright; plus: lower edge aft, minus: lower edge forward", "screws", -45, 45),
    Setting("rudder_offset", "Rudder offset", _RUDDER, "length",
            f"rudder to the hull's centreline; {_SIDEWAYS}", "screws", -500, 500),
    Setting("motor_timing", "Motor timing", _MOTOR, "angle",
            "as programmed or turned on the motor", "screws", -10, 60),
    Setting("controller_programming", "Controller programming", _MOTOR, "text",
            "cut-off, start power, brake and the rest", "screws"),
    Setting("capacitor_bank", "Capacitor bank", _MOTOR, "text",
            "which, and how far from the controller", "screws"),
    Setting("radio_end_points", "Radio end points", _RADIO, "text", "per channel, each way"),
    Setting("radio_trims", "Radio trims and rates", _RADIO, "text", "rudder trim, rates, exponential"),
    Setting("receiver", "Receiver", _RADIO, "text", "which, where, failsafe as set"),
    Setting("servo", "Servo", _RADIO, "text", "which, arm, which hole"),
    Setting("water_pickup", "Water pickup", _WATER, "text",
            "where, and which way the water goes", "screws"),
    Setting("gps_place", "GPS unit's place", _GPS, "text", "where it sits on the water"),
    Setting("gps_mass", "GPS unit's mass", _GPS, "mass", "weighed, with its holder", "single", 0.5, 2000),
)  # fmt: skip
_BY_KEY = {setting.key: setting for setting in SETTINGS}
OWN_GROUP = "Your own"
GROUPS = (*dict.fromkeys(setting.group for setting in SETTINGS), OWN_GROUP)


def setting_of(key: str) -> Setting | None:
    """The setting of that key, also one that a person added and put away; None for none."""
    return _BY_KEY.get(key) or next((_own(one) for one in known("hull") if one.field.column == key), None)


def _own(one: Own) -> Setting:
    """What a person added to hulls, as a setting: its history is kept as that of all of them."""
    field = one.field
    return Setting(
        field.column, field.label, OWN_GROUP, field.kind, "", "single", field.low, field.high, field.hint,
        tuple(field.values), field.unit, one.step,
    )  # fmt: skip


def places_of(setting: Setting, screws: int) -> tuple[str, ...]:
    """Where `setting` is asked for on a hull with so many screws."""
    if setting.places == "sides" or (setting.places == "screws" and screws == 2):
        return ("left", "right")
    return ("single",)


def asked_for(screws: int) -> Iterator[tuple[Setting, str]]:
    """Every setting with every place it has on a hull with so many screws."""
    own = [_own(one) for one in known("hull") if not one.is_aside]
    return ((setting, place) for setting in (*SETTINGS, *own) for place in places_of(setting, screws))


def left_over(screws: int, written: Iterable[str]) -> list[tuple[Setting, str]]:
    """Settings written down, by key and place, that are not asked for on a hull with so many screws: they stem from
    the time before its number of screws was put right, or from before a person put a field of their own away."""
    asked = {(setting.key, place) for setting, place in asked_for(screws)}
    found = [(setting_of(key), place) for key, _, place in (one.rpartition("@") for one in sorted(written))]
    return [(setting, place) for setting, place in found if setting and (setting.key, place) not in asked]


def balance_datum(hull_kind: str) -> str:
    """What a balance point is measured from on this kind of hull."""
    return _DATUMS[hull_kind]


def name_at(key: str, place: str) -> str:
    """A setting's name with its place: `Trim tab angle, left`; an unknown key is its own name."""
    setting = setting_of(key)
    name = setting.name if setting else key.replace("_", " ")
    return name if place == "single" else f"{name}, {place}"
