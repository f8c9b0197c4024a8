"""The kinds of measure, their units, and which unit a person wants to see."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Kind:
    """A kind of measure: its units by label (the first one is stored) and how each is shown.

    `decimals` gives the digits after the point by unit label; `trim` drops zeros at their end (742 mm,
    6.5 mm); `clock` also reads minutes and seconds, `1:45`.
    """

    name: str
    storage_unit: str
    units: tuple[str, ...]
    metric: str
    imperial: str
    decimals: Mapping[str, int]
    trim: bool = False
    clock: bool = False


def _kind(name: str, decimals: dict[str, int], imperial: str = "", trim: bool = False, clock: bool = False) -> Kind:
    stored = next(iter(decimals))
    shown = MappingProxyType(decimals)
    return Kind(name, stored, tuple(decimals), stored, imperial or stored, shown, trim, clock)


KINDS: Mapping[str, Kind] = MappingProxyType({
    kind.name: kind
    for kind in (
        _kind("length", {"mm": 2, "cm": 3, "m": 4, "in": 3, "ft": 3}, "in", trim=True),
        _kind("distance", {"m": 2, "km": 3, "ft": 1, "mi": 3}, "ft", trim=True),
        _kind("mass", {"g": 1, "kg": 3, "oz": 2, "lb": 3}, "oz", trim=True),
        _kind("speed", {"km/h": 1, "mph": 1, "kn": 1, "m/s": 2}, "mph"),
        _kind("wind", {"m/s": 1, "km/h": 0, "mph": 0, "kn": 0}, "mph", trim=True),
        _kind("temperature", {"°C": 1, "°F": 0}, "°F", trim=True),
        _kind("temperature_rise", {"K": 1, "°F": 0}, "°F", trim=True),
        _kind("charge", {"mAh": 0, "Ah": 2}),
        _kind("voltage", {"V": 2, "mV": 0}),
        _kind("current", {"A": 1, "mA": 0}, trim=True),
        _kind("resistance", {"mΩ": 2, "Ω": 5}, trim=True),
        _kind("angle", {"°": 1}, trim=True),
        _kind("duration", {"s": 1, "min": 2, "h": 3}, trim=True, clock=True),
        _kind("minutes", {"min": 1, "h": 2, "s": 0}, trim=True),
        _kind("hours", {"h": 1, "min": 0, "d": 2}, trim=True),
        _kind("kv", {"rpm/V": 0}),
        _kind("shaft_speed", {"rpm": 0}),
        _kind("volume", {"ml": 2, "mm³": 0, "cm³": 2, "l": 4}, trim=True),
        _kind("density", {"kg/m³": 1, "g/cm³": 4}, trim=True),
        _kind("area", {"mm²": 2, "cm²": 3, "in²": 4}, "in²", trim=True),
        _kind("capacitance", {"µF": 0, "mF": 3}, trim=True),
        _kind("percent", {"%": 1}, trim=True),
        _kind("energy", {"Wh": 1}),
        _kind("heat", {"Wh": 2}),
        _kind("power", {"W": 0, "kW": 2}),
        _kind("time_after", {"s": 0, "min": 2}, trim=True, clock=True),
        _kind("pressure", {"hPa": 1, "mbar": 1, "kPa": 2}, trim=True),
        _kind("torque", {"N m": 3, "mN m": 0}),
        _kind("force", {"N": 2}),
        _kind("acceleration", {"m/s²": 4}, trim=True),
        _kind("viscosity", {"m²/s": 10, "mm²/s": 4}),
        _kind("specific_heat", {"J/kg/K": 0}),
        _kind("heat_loss", {"W/K": 3}, trim=True),
        _kind("activation_energy", {"kJ/mol": 1}),
        _kind("c_rate", {"C": 1}),
        _kind("energy_per_distance", {"Wh/km": 2}),
        _kind("film", {"µm": 0, "mm": 3}, trim=True),
        _kind("spread_rate", {"m²/l": 1}, trim=True),
    )
})  # fmt: skip


# Under this name a session keeps the units that its page is shown in.
UNITS_OF_SESSION = "display units"


class DisplayUnits(Mapping[str, str]):
    """Which unit a person wants to see for each kind of measure; never changes once made."""

    def __init__(self, overrides: Mapping[str, str] | None = None) -> None:
        """Metric, except where `overrides` names a known kind and a unit of that kind."""
        given = overrides or {}
        self._units: Mapping[str, str] = MappingProxyType({
            name: given[name] if given.get(name) in kind.units else kind.metric
            for name, kind in KINDS.items()
        })  # fmt: skip

    @classmethod
    def metric(cls) -> "DisplayUnits":
        """The stored units themselves."""
        return cls()

    @classmethod
    def imperial(cls) -> "DisplayUnits":
        """Inches, ounces, miles per hour, degrees Fahrenheit where a kind has them."""
        return cls({name: kind.imperial for name, kind in KINDS.items()})

    def unit(self, kind: str) -> str:
        """The label of the unit wanted for `kind`; KeyError for a kind that does not exist."""
        return self._units[kind]

    def with_unit(self, kind: str, unit: str) -> "DisplayUnits":
        """The same choice but for one kind."""
        return DisplayUnits({**self._units, kind: unit})

    def __getitem__(self, kind: str) -> str:
        return self._units[kind]

    def __iter__(self) -> Iterator[str]:
        return iter(self._units)

    def __len__(self) -> int:
        return len(self._units)

    def __hash__(self) -> int:
        return hash(tuple(self._units.items()))
