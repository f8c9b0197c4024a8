"""The fields of a water, and those of an outing."""

from garage.fields.definition import Field
from garage.inventory.fields import retirement
from garage.own_fields.at_hand import with_own

ELECTRIC = ("yes", "no", "ask first")
SURFACES = ("glass", "ripple", "light chop", "rough")
WIND_TO_COURSE = ("along", "slanting", "across")
SUNS = ("sun", "some cloud", "overcast", "rain", "dark")
_READ = "read at the water"

FIELDS = (
    Field("name", "Name", required=True, most=80, asked="name", searched="title"),
    # The table takes a slower one than the form; what stands there stays.
    Field(
        "speed_limit", "Speed limit", "speed", "if there is one", 1, 500, asked="rules",
        origin="the water's own rule", checked=False,
    ),
    Field("hours", "Hours", hint="when boats may run", most=120, asked="rules", searched="text"),
    Field("electric_allowed", "Electric boats", "choice", choices=ELECTRIC, asked="rules"),
    # 1/16 mile is the usual straight course; US association rules, as job descriptions of the trade quote them. It is a
    # water's only where somebody measured it out there.
    Field(
        "course", "Course", "distance", "if one is measured out; 1/16 mile is 100.58 m", 1, 5000, asked="rules",
        origin="of this water",
    ),
    Field("notes", "Notes", "long text", "line, bank, wind, weed, who to ask", searched="text"),
)  # fmt: skip

OUTING_FIELDS = (
    Field(
        "air", "Air", "temperature", "in the shade", -30, 55, asked="conditions", origin=_READ,
        instrument="air", headings=("air", "air temp", "air temperature", "temp"),
    ),
    Field(
        "water_temperature", "Water", "temperature", low=-3, high=45, asked="conditions", origin=_READ,
        column="water_c", instrument="water", headings=("water temp", "water temperature"),
    ),
    Field(
        "wind", "Wind", "wind", low=0, high=40, asked="conditions", origin=_READ, instrument="wind",
        headings=("wind", "wind speed"),
    ),
    Field("gust", "Gusts", "wind", low=0, high=60, asked="conditions", origin=_READ, instrument="wind"),
    Field("wind_from", "Wind from", "angle", "0 north, 90 east", 0, 360, asked="conditions", origin=_READ),
    Field("wind_to_course", "Wind to the course", "choice", choices=WIND_TO_COURSE, asked="conditions"),
    Field("surface", "Surface", "choice", choices=SURFACES, asked="conditions"),
    Field("sun", "Sky", "choice", choices=SUNS, asked="conditions"),
    Field("weed", "Weed", most=120, searched="text"),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip

RETIREMENT_FIELDS = retirement(("closed to boats", "no longer gone to", "other"), "who said so, where to instead")


def outing_fields() -> tuple[Field, ...]:
    """The fields of an outing, with those that a person added."""
    return with_own("outing", OUTING_FIELDS)
