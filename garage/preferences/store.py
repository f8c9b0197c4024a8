"""Reading and keeping preferences."""

from collections.abc import Mapping

from sqlmodel import Session, col, select

from garage.preferences.tables import Preference
from garage.units import DisplayUnits

_UNIT = "unit."


def unit_choices(session: Session) -> dict[str, str]:
    """The unit chosen for each field of measure that was ever changed."""
    rows = session.exec(select(Preference).where(col(Preference.name).startswith(_UNIT))).all()
    return {row.name.removeprefix(_UNIT): row.value for row in rows}


def display_units(session: Session) -> DisplayUnits:
    """The units to show each field of measure in: metric, but for those that were changed."""
    return DisplayUnits(unit_choices(session))


def keep_units(session: Session, choices: Mapping[str, str]) -> None:
    """Keep the unit chosen for each field of measure."""
    for kind, unit in choices.items():
        session.merge(Preference(name=_UNIT + kind, value=unit))
