"""How a speed is known, and how a boat rode, in words."""

from typing import Protocol

from garage.runs.fields import FIELDS
from garage.units import DisplayUnits, show

# The usual windows, in words.
_SPELLED = {1.0: "one second", 2.0: "two seconds", 5.0: "five seconds", 10.0: "ten seconds"}
METRIC = DisplayUnits.metric()

_RATINGS = tuple(field for field in FIELDS if field.kind == "rating")


class _Reading(Protocol):
    @property
    def speed_kmh(self) -> float | None: ...

    @property
    def speed_how(self) -> str: ...

    @property
    def averaging_s(self) -> float | None: ...

    @property
    def ways(self) -> str: ...

    @property
    def passes(self) -> int | None: ...

    @property
    def course_m(self) -> float | None: ...


def known_words(run: _Reading, units: DisplayUnits = METRIC) -> str:
    """Like `log, mean over two seconds, both ways over 100.58 m, best of 3 passes`; empty without a speed."""
    return reading_words(run, units) if run.speed_kmh is not None else ""


def reading_words(run: _Reading, units: DisplayUnits = METRIC) -> str:
    """The same for a speed that is still to be written."""
    words = [run.speed_how or "reading not known"]
    if run.speed_how != "by eye":
        words.append(averaging_words(run.averaging_s, units))
    ways = run.ways or "one way or both not known"
    words.append(f"{ways}{course_words(run.course_m, units)}")
    words.append(passes_words(run.passes))
    return ", ".join(word for word in words if word)


def course_words(course_m: float | None, units: DisplayUnits = METRIC) -> str:
    """` over 100.58 m`, with its space; nothing without a course."""
    return f" over {show(course_m, 'distance', units.unit('distance'))}" if course_m else ""


def averaging_words(averaging_s: float | None, units: DisplayUnits = METRIC) -> str:
    """`mean over two seconds` for a window, `single reading` for 0, nothing if not known."""
    if averaging_s is None:
        return ""
    if not averaging_s:
        return "single reading"
    return f"mean over {_SPELLED.get(averaging_s) or show(averaging_s, 'duration', units.unit('duration'))}"


def passes_words(passes: int | None) -> str:
    """`best of 3 passes`."""
    if passes is None:
        return "passes not known"
    return "one pass" if passes == 1 else f"best of {passes} passes"


def ride_words(run: object) -> str:
    """How she rode, like `rather dry, steady`: the step of each rating in words."""
    steps = [(rating, getattr(run, rating.column)) for rating in _RATINGS]
    return ", ".join(rating.said(step) for rating, step in steps if step is not None)
