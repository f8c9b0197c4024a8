"""What the page of preferences shows."""

from dataclasses import dataclass

from garage.preferences.forms import FIELD, FIELD_NAMES, unit_values
from garage.units import KINDS, DisplayUnits
from garage.web.screen import SCREENS


@dataclass(frozen=True)
class UnitChoice:
    """One field of measure with the units it can be shown in."""

    field: str
    name: str
    units: tuple[str, ...]


@dataclass(frozen=True)
class PreferencesSheet:
    """Which unit each field of measure is shown in."""

    choices: list[UnitChoice]
    values: dict[str, str]

    @property
    def screens(self) -> dict[str, str]:
        """How pages can look on one screen."""
        return SCREENS


def preferences_sheet(units: DisplayUnits) -> PreferencesSheet:
    """The page of preferences."""
    choices = [UnitChoice(FIELD + kind, name, KINDS[kind].units) for kind, name in FIELD_NAMES.items()]
    return PreferencesSheet(choices, unit_values(units))
