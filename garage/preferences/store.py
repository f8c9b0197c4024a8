"""Reading and keeping preferences."""

from collections.abc import Mapping

from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from garage.preferences.tables import Preference
from garage.units import DisplayUnits
from garage.units.kinds import UNITS_OF_SESSION

_UNIT = "unit."


def unit_choices(session: Session) -> dict[str, str]:
    """The unit chosen for each field of measure that was ever changed."""
    return {row.name.removeprefix(_UNIT): row.value for row in session.exec(_units_kept())}


def display_units(session: Session) -> DisplayUnits:
    """The units to show each field of measure in: metric, but for those that were changed.

    A page brings them along; elsewhere they are read once in a session.
    """
    if UNITS_OF_SESSION not in session.info:
        session.info[UNITS_OF_SESSION] = DisplayUnits(unit_choices(session))
    return session.info[UNITS_OF_SESSION]


def keep_units(session: Session, choices: Mapping[str, str]) -> None:
    """Keep the unit chosen for each field of measure."""
    kept = {row.name: row for row in session.exec(_units_kept())}
    for kind, unit in choices.items():
        row = kept.get(_UNIT + kind) or Preference(name=_UNIT + kind, value=unit)
        row.value = unit
        session.add(row)
    session.info.pop(UNITS_OF_SESSION, None)


def _units_kept() -> SelectOfScalar[Preference]:
    return select(Preference).where(col(Preference.name).startswith(_UNIT))
