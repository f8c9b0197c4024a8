"""The conditions of an outing in one phrase."""

from garage.outings.sheets import conditions_of, words_of
from garage.units import DisplayUnits, show
from garage.waters.tables import Outing

# Nobody reads a wind vane to a tenth of a degree.
_DECIMALS = {"angle": 0}
_WIND_TO_COURSE = "Wind to the course"
_TO_COURSE = {
    "along": "along the course",
    "across": "across the course",
    "slanting": "slanting to the course",
}


def condition_words(outing: Outing, units: DisplayUnits) -> str:
    """`air 14 °C, wind 3 m/s, surface glass`, as read at the water; '' when nothing was written."""
    measured = [
        f"{name.lower()} {show(read.value, read.kind, units.unit(read.kind), _DECIMALS.get(read.kind))}"
        for name, read in conditions_of(outing)
        if read.value is not None
    ]
    said = [f"{name.lower()} {words}" for name, words in words_of(outing) if name != _WIND_TO_COURSE]
    wind = [f"wind {_TO_COURSE[outing.wind_to_course]}"] if outing.wind_to_course else []
    return ", ".join([*measured, *wind, *said])
