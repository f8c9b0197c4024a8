"""A water's own rules, in short."""

from garage.units import DisplayUnits, show
from garage.waters.tables import Water


def rules_of(water: Water, units: DisplayUnits) -> list[str]:
    """A water's own rules, in short."""
    found = {"no": "electric boats not allowed", "ask first": "ask first before running electric boats"}
    rules = [found[water.electric_allowed]] if water.electric_allowed in found else []
    if water.speed_limit_kmh is not None:
        rules.append(f"no faster than {show(water.speed_limit_kmh, 'speed', units.unit('speed'))}")
    return rules + ([f"hours: {water.hours}"] if water.hours else [])
