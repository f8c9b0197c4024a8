"""Ways of measuring a speed. Records of one way never stand among those of another."""

from dataclasses import dataclass

from garage.runs.lines.flags import NOT_KNOWN_HOW_AVERAGED
from garage.runs.lines.speed_words import course_words
from garage.units import DisplayUnits

HOW_ORDER = ("log", "display", "by eye", "")
WAYS_ORDER = ("both ways", "one way", "")
AVERAGED, SINGLE, UNKNOWN = "averaged", "single reading", ""
AVERAGING_ORDER = (AVERAGED, SINGLE, UNKNOWN)
# What a speed may be asked to be known by at least, the strictest first.
MINIMUMS = ("log both ways", "log", "display")
_WAYS_TEXT = {"both ways": "both ways", "one way": "one way", "": "one way or both not written"}


@dataclass(frozen=True)
class Way:
    """How a speed was measured: read how, averaged or a single reading, one way or both, over which course.

    Two speeds may be ranked against each other only if their ways are equal. The course is in whole
    centimetres: 330 ft and 100.58 m are one.
    """

    how: str
    averaging: str
    ways: str
    course_m: float | None

    def is_known_by(self, minimum: str) -> bool:
        """Whether a speed of this way is known at least by `minimum`, one of MINIMUMS; '' asks for nothing."""
        if not minimum:
            return True
        if minimum == "log both ways":
            return self.how == "log" and self.ways == "both ways"
        return self.how in HOW_ORDER[: HOW_ORDER.index(minimum) + 1]

    @property
    def trust(self) -> tuple[int, int, int, float]:
        """For sorting: what is known best comes first."""
        return (
            HOW_ORDER.index(self.how),
            WAYS_ORDER.index(self.ways),
            AVERAGING_ORDER.index(self.averaging),
            -(self.course_m or 0),
        )

    def words(self, units: DisplayUnits) -> str:
        """`Log, both ways over 100.58 m`; a single reading is named as such."""
        how = self.how or "how it was read is not written"
        parts = [how]
        if self.averaging == SINGLE:
            parts.append("single reading")
        elif self.how in ("log", "display") and self.averaging == UNKNOWN and not self.course_m:
            parts.append(NOT_KNOWN_HOW_AVERAGED)
        parts.append(_WAYS_TEXT[self.ways] + course_words(self.course_m, units))
        text = ", ".join(parts)
        return text[:1].upper() + text[1:]

    @property
    def anchor(self) -> str:
        """A name for its section's address within a page."""
        course = f"{self.course_m:g}" if self.course_m else "no-course"
        words = (self.how or "unknown", self.averaging or "unknown", self.ways or "unknown", course)
        return "-".join(words).replace(" ", "-").replace(".", "-")


def averaging_class(how: str, averaging_s: float | None) -> str:
    """Averaged over a window, a single reading, or not known.

    A speed judged by eye is neither; of any other that says nothing of it, nothing is known.
    """
    if how in ("by eye", ""):
        return UNKNOWN
    if averaging_s is None:
        return UNKNOWN
    return AVERAGED if averaging_s > 0 else SINGLE


def way_of(how: str, averaging_s: float | None, ways: str, course_m: float | None) -> Way:
    """The way in which a run's speed was measured, from its columns."""
    return Way(how, averaging_class(how, averaging_s), ways, course_to_cm(course_m))


def course_to_cm(course_m: float | None) -> float | None:
    """A course's length in metres to the centimetre, so that it is the same whichever unit it was typed in."""
    return None if course_m is None else round(course_m, 2)
