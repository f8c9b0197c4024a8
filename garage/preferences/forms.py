"""The units chosen, or messages beside the fields."""

from garage.units import KINDS, DisplayUnits
from garage.web.fields import Reader
from garage.web.screen import SCREENS

# What each field of measure is called on the page; those that know a single unit have nothing to choose.
FIELD_NAMES = {
    "length": "Lengths on the boat",
    "distance": "Distances on the water",
    "mass": "Mass",
    "speed": "Speed of the boat",
    "wind": "Wind",
    "temperature": "Temperature",
    "temperature_rise": "Warmer by",
    "charge": "Charge",
    "voltage": "Voltage",
    "current": "Current",
    "resistance": "Resistance",
    "duration": "Duration of a run",
    "minutes": "Time spent",
    "hours": "Curing time",
    "volume": "Volume",
    "density": "Density",
    "area": "Area",
    "capacitance": "Capacitance",
    "power": "Power",
    "pressure": "Pressure of the air",
    "torque": "Torque",
    "viscosity": "Viscosity",
    "film": "Thickness of a coat",
    "time_after": "Time after the stop",
}
FIELD = "unit_"


def read_units(reader: Reader) -> DisplayUnits:
    """The unit chosen for every field of measure; metric where none was. Raises FormErrors."""
    chosen = {kind: reader.choice(FIELD + kind, KINDS[kind].units) for kind in FIELD_NAMES}
    reader.finish()
    return DisplayUnits({kind: unit for kind, unit in chosen.items() if unit})


def read_screen(reader: Reader) -> tuple[str, str]:
    """How pages look on this screen, and where to go back to. Raises FormErrors."""
    screen = reader.choice("screen", SCREENS)
    run_of = {name: reader.whole(name, 1, 10**9) for name in ("hull", "outing")}
    asked = "&".join(f"{name}={number}" for name, number in run_of.items() if number)
    reader.finish()
    return screen, f"/runs/new?{asked}" if asked else "/preferences"


def unit_values(units: DisplayUnits) -> dict[str, str]:
    """What stands in the form."""
    return {FIELD + kind: units.unit(kind) for kind in FIELD_NAMES}
