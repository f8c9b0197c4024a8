"""The conditions of an outing in one phrase."""

from garage.runs.outing_sheets import conditions_of, words_of
from garage.runs.tables import Outing
from garage.units import DisplayUnits, show


def condition_words(outing: Outing, units: DisplayUnits) -> str:
    """`air 14 °C, wind 3 m/s, surface glass`, as read at the water; '' when nothing was written."""
    measured = [
        f"{name.lower()} {show(measure.value, measure.kind, units.unit(measure.kind))}"
        for name, measure in conditions_of(outing)
        if measure.value is not None
    ]
    return ", ".join([*measured, *(f"{name.lower()} {words}" for name, words in words_of(outing))])
