"""Reading and keeping preferences."""

from collections.abc import Collection, Mapping

from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from garage.db.unchanged import while_unchanged
from garage.preferences.instruments import BY_NAME
from garage.preferences.tables import Preference
from garage.units import DisplayUnits
from garage.units.kinds import UNITS_OF_SESSION

_UNIT = "unit."
_MEASURED = "measured."
_NEVER = "never"
_NOT_MEASURED = "not measured"


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


def not_measured(session: Session) -> frozenset[str]:
    """The names of the instruments of which the person said that they never measure it."""
    if _NOT_MEASURED not in session.info:
        session.info[_NOT_MEASURED] = while_unchanged(session, _NOT_MEASURED, lambda: _never(session))
    return session.info[_NOT_MEASURED]


def _never(session: Session) -> frozenset[str]:
    rows = session.exec(select(Preference).where(col(Preference.name).startswith(_MEASURED)))
    return frozenset(row.name.removeprefix(_MEASURED) for row in rows if row.value == _NEVER) & BY_NAME.keys()


def keep_not_measured(session: Session, names: Collection[str]) -> None:
    """Keep which instruments are never measured with."""
    kept = {row.name: row for row in session.exec(select(Preference).where(col(Preference.name).startswith(_MEASURED)))}
    for name in BY_NAME:
        value = _NEVER if name in names else "yes"
        row = kept.get(_MEASURED + name)
        if row is None and value == _NEVER:
            row = Preference(name=_MEASURED + name, value=value)
        if row is not None:
            row.value = value
            session.add(row)
    session.info.pop(_NOT_MEASURED, None)
