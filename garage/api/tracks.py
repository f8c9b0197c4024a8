"""Logs measured: speeds, passes, corners of one file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from garage.calc.track.measure import USUAL_COURSE_M, look_at
from garage.calc.track.passes import USUAL_LIMIT_S
from garage.errors import GarageError
from garage.logs.readers.reading import read_log
from garage.logs.track_json import track_json

USUAL_LIMIT_MIN = USUAL_LIMIT_S / 60
_LONGEST_COURSE_M = 5000
_LONGEST_BETWEEN_MIN = 1440


def track_of(
    file: str | Path, *, course_m: float = USUAL_COURSE_M, within_min: float = USUAL_LIMIT_MIN
) -> dict[str, Any]:
    """What a GPX, NMEA, FIT or text log says, as `garage track --json`: speeds in km/h, the rest by its key.

    `course_m` is the length of the course, `within_min` the longest time from a pass to the opposite one. Raises
    GarageError in words for a file that cannot be read.
    """
    checked(course_m, within_min)
    read = read_log(Path(file))
    measures = look_at(read.track, course_m, limit_s=within_min * 60).measures
    return track_json(measures) | {"kind": read.kind, "notes": [*read.notes, *measures.said]}


def checked(course_m: float, within_min: float) -> None:
    """Raises GarageError for a course or a time that nothing can be measured with."""
    if not 1 <= course_m <= _LONGEST_COURSE_M:
        raise GarageError("A course is between 1 and 5000 m long.")
    if not 0 < within_min <= _LONGEST_BETWEEN_MIN:
        raise GarageError("The time between passes is more than 0 and at most 1440 minutes.")
