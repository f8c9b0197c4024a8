"""Reading and keeping preferences."""

from collections.abc import Mapping

from sqlmodel import Session, col, select

from garage.preferences.tables import Preference

_UNIT = "unit."


def unit_choices(session: Session) -> dict[str, str]:
    """The unit chosen for each field of measure that was ever changed."""
    rows = session.exec(select(Preference).where(col(Preference.name).startswith(_UNIT))).all()
    return {row.name.removeprefix(_UNIT): row.value for row in rows}


def keep_units(session: Session, choices: Mapping[str, str]) -> None:
    """Keep the unit chosen for each field of measure."""
    for kind, unit in choices.items():
        session.merge(Preference(name=_UNIT + kind, value=unit))
