"""The fields of a run, and those of its packs, of its temperatures and of what happened in it."""

from dataclasses import dataclass

from garage.fields.definition import Field
from garage.own_fields.at_hand import with_own
from garage.runs.wiring import WIRINGS
from garage.waters.fields import SUNS

RUN_KINDS = ("speed", "lap", "tune", "maiden", "break-in")
SPEED_HOWS = ("by eye", "display", "log")
COUNTS = ("counts", "does not count", "not known")
WAYS = ("one way", "both ways")
OUTLETS = ("running", "weak", "none")
TEMPERATURE_SPOTS = ("motor end bell", "speed controller", "pack", "wires and plugs", "other")
RUN_PLACES = ("single", "left", "right")
INCIDENTS = (
    "flip", "blow over", "spin out", "hook", "chine walk", "porpoising", "water inside", "prop strike", "lost drive",
    "other",
)  # fmt: skip
# What may have spoiled the speed that was written of the run, so that it is asked whether that counts:
# - upside down, in the air or sideways a receiver keeps no clean track, and a prop out of the water drives nothing, so
#   that the highest figure may be of the accident itself (flip, blow over, spin out),
# - with a nicked or bent blade, or without drive, she ran slower than she is (prop strike, lost drive).
# A hook, chine walk or porpoising belong to how she runs; water inside shows itself by and by. Common practice, no
# source.
MAY_SPOIL = ("flip", "blow over", "spin out", "prop strike", "lost drive")
# Weed on the prop or before the inlet holds her back, whatever it led to.
MAY_SPOIL_CAUSES = ("weed or debris",)
CAUSES = (
    "wave", "wake", "turn", "gust", "weed or debris", "radio", "throttle", "driving", "part failed", "not known",
)  # fmt: skip
LONGEST_RUN_S = 4 * 3600
# The sections of the form that tell how a speed was read.
READING_SECTIONS = frozenset({"reading", "window", "measured"})
_WRITTEN = "as written"
# Typed, or taken over as it stood on the form from the run before, or from a log: a run does not keep which.
_KEPT = "as kept with the run: typed, or taken over from the run before or a log"


@dataclass(frozen=True)
class RunField(Field):
    """A field of a run, or of what was read after it.

    - `missed`: what is said of it while it is open, '' if nobody asks for it later. Fields that say the same are
      asked for as one: any of them will do.
    - `carried`: whether the next run of that boat begins with it.
    - `steps`: what each step of a rating is called in a sentence.
    """

    missed: str = ""
    carried: bool = False
    steps: tuple[str, ...] = ()

    def said(self, step: int) -> str:
        """A step of a rating in a sentence."""
        return self.steps[step - 1] if self.steps else f"{self.in_sentence} {step} of {self.high}"


def _rating(name: str, label: str, steps: tuple[str, ...], ends: tuple[str, ...] = ()) -> RunField:
    return RunField(
        f"{name}_rating", label, "rating", asked="ride, evening ride", ends=ends or (steps[0], steps[-1]), steps=steps,
        missed="how she rode", instrument="ride", listed=False,
    )  # fmt: skip


FIELDS = (
    RunField("kind", "Kind of run", "choice", choices=RUN_KINDS, default="speed", asked="time", carried=True),
    RunField(
        "speed", "Top speed", "speed", low=0.1, high=400, asked="speed, evening", missed="the speed", listed=False,
        instrument="speed",
        headings=("speed", "top speed", "max speed", "vmax", "best", "gps speed"),
    ),
    RunField(
        "speed_how", "Read by", "choice", choices=SPEED_HOWS, asked="reading, evening", missed="how the speed was read",
        carried=True, listed=False, headings=("how", "speed how", "read by", "source"),
    ),
    RunField(
        "ways", "One way or both", "choice", "the mean of both counts more", choices=WAYS, asked="reading, evening",
        missed="one way or both", carried=True, listed=False, headings=("ways", "direction", "directions"),
    ),
    RunField(
        "passes", "Runs past the course", "whole", "how many it is the best of", 1, 100, asked="measured, evening",
        missed="of how many passes", instrument="passes", carried=True,
    ),
    RunField(
        "duration", "Duration", "duration", "or 1:45", 1, LONGEST_RUN_S, asked="time, evening", origin=_WRITTEN,
        missed="how long it lasted", instrument="duration",
        headings=("duration", "run time", "runtime", "length of run"),
    ),
    RunField("full_throttle", "At full throttle", "duration", low=0, high=LONGEST_RUN_S, asked="time", origin=_WRITTEN),
    RunField(
        "course", "Course", "distance", "1/16 mile is 100.58 m", 1, 5000, asked="measured", origin=_KEPT,
        carried=True,
    ),
    # 0 is a single reading.
    RunField(
        "averaging", "Window", "duration", "over how long it was averaged", 0, 60, above_low=True, asked="window",
        origin=_KEPT, carried=True,
    ),
    _rating("ride", "Ride", ("wet", "rather wet", "neither wet nor dry", "rather dry", "dry")),
    _rating("straight", "Straight line", ("loose", "rather loose", "fairly straight", "rather steady", "steady")),
    _rating(
        "corner", "Corners",
        ("spins out", "nearly spins out", "holds in corners", "rather planted in corners", "planted in corners"),
        ("spins out", "planted"),
    ),
    _rating(
        "acceleration", "Acceleration", ("lazy", "rather lazy", "pulls away fairly", "rather snappy", "snappy"),
    ),
    RunField(
        "note", "Note", "long text", "how she ran", asked="word, evening words", searched="text", listed=False,
        headings=("note", "notes", "remarks", "comment", "comments", "setup"),
    ),
    RunField(
        "try_next", "Try next", most=300, asked="next, evening words", searched="text", listed=False,
        headings=("try next", "next", "to do"),
    ),
    RunField("throttle_eased", "Throttle eased", asked="more", searched="text"),
    RunField("rudder_trim", "Rudder trim held", most=120, asked="more", searched="text", carried=True),
    RunField("outlet", "Water at the outlet", "choice", choices=OUTLETS, asked="more"),
    RunField("water_inside", "Water inside", "volume", low=0, high=100000, asked="more", origin="measured or judged"),
    RunField("depth", "Depth", "distance", low=0, high=500, asked="more", origin=_WRITTEN),
    RunField("sun", "Sky", "choice", choices=SUNS, asked="more"),
    # Asked where something happened in the run that may have spoiled its speed.
    RunField(
        "speed_counts", "Does the speed count?", "choice", choices=COUNTS, asked="counts, evening counts", listed=False
    ),
)  # fmt: skip

# The columns of all that tells how a speed was read.
READING_COLUMNS = tuple(field.column for field in FIELDS if READING_SECTIONS & {*field.sections})

# What the first run of a day is asked instead of all that tells how a speed was read: one of the ways, or all of it as
# in the last run.
AS_LAST = "as last time"
WAY = Field("way", "Measured", "choice", "saved without: not known", choices=(*SPEED_HOWS, AS_LAST), asked="")
# What the forms and lines of runs name besides: picked from what there is, or said of the run by itself.
PICKED = (
    "Boat", "Hull", "Water", "Outing", "Run", "Start", "Date", "Time of day", "Prop", "Props", "Pack", "Packs",
    "Build state", "State",
)  # fmt: skip


def run_fields() -> tuple[Field, ...]:
    """The fields of a run, with those that a person added."""
    return with_own("run", FIELDS)


# How a speed was averaged: with the window, it makes one figure.
AVERAGING_WAY = Field(
    "averaging_way", "Single reading or window", "choice", choices=("single reading", "window"), asked=""
)

PACK_FIELDS = (
    RunField("wiring", "Wired", "choice", choices=WIRINGS, default="single", asked="", listed=False),
    RunField(
        "temperature", "Temperature at the start", "temperature", low=-30, high=90, column="start_temperature_c",
        asked="pack, evening", origin="measured", missed="pack temperature at the start", instrument="pack_start",
        listed=False,
    ),
    # The table takes a lower one than the form; what stands there stays.
    RunField(
        "rested", "Rested voltage", "voltage", "the whole pack", 0.5, 120, asked="pack, evening", origin="measured",
        missed="rested voltage at the start", instrument="rested", listed=False, checked=False,
    ),
    RunField(
        "charge", "Charge put back", "charge", "as the charger says", 0, 100000, asked="pack, evening",
        origin="as the charger says", missed="charge put back", instrument="charge", listed=False,
        headings=("charge", "charge put back", "mah", "mah used", "put back"),
    ),
    # Of the whole pack: read, or added up from its cells.
    RunField(
        "end", "Voltage after", "voltage", low=0, high=120, asked="", missed="voltages after", instrument="volts",
        listed=False,
    ),
    RunField(
        "volts", "Voltages after", hint="V, cell by cell: 3.71 3.70 3.72; or the whole pack", column="volts_after",
        asked="pack, evening", instrument="volts", listed=False,
    ),
)  # fmt: skip

READING = Field("temperature", "Reading", "temperature", low=-30, high=300, required=True, asked="reading")
AFTER = Field("after", "After the stop", "time_after", low=0, high=86400, column="seconds_after", asked="reading")
TEMPERATURE_FIELDS = (
    Field("spot", "Where", "choice", choices=TEMPERATURE_SPOTS, required=True, asked="reading"),
    READING,
    AFTER,
    Field("place", "Side", "choice", choices=RUN_PLACES, default="single", asked="side"),
    Field("note", "Where exactly", asked="note", searched="text"),
)

INCIDENT_FIELDS = (
    Field("kind", "What happened", "choice", choices=INCIDENTS, required=True, searched="title"),
    Field("cause", "Cause", "choice", choices=CAUSES, searched="text"),
    Field("recovered", "How it came back", searched="text"),
    Field("note", "More", most=500, searched="text"),
    Field("damaged", "Something is damaged", "yes/no"),
    Field("spoiled", "It spoiled the speed", "yes/no", column="spoiled_speed"),
)
