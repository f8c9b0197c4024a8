"""Everything that one log says about speed: the one way in for pages and for the command."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from garage.calc.arrays import np
from garage.calc.track.agreement import Agreement, agreement_of, denial_words
from garage.calc.track.cleaning import Cleaned, clean
from garage.calc.track.corners import Corner, corners_of
from garage.calc.track.course import Course, course_of
from garage.calc.track.distance import distance_of
from garage.calc.track.means import (
    Best,
    best_over_distance,
    best_over_time,
    peak,
    windows_over,
)
from garage.calc.track.motion import Motion, motion_of
from garage.calc.track.passes import USUAL_LIMIT_S, Pass, TwoWay, passes_of, two_way
from garage.calc.track.track import Track

# 1/16 mile (330 ft), the usual straight course of US association rules.
USUAL_COURSE_M = 100.58
# Above this a model hull of 40 to 100 cm planes; common practice, no source.
PLANING_MS = 15 / 3.6


@dataclass(frozen=True)
class Measures:
    """What was measured, in m, s, m/s; a value that cannot be had is None and `said` tells why.

    `top` is the headline speed, the best mean over 2 s; `peak` the highest single sample, which reads high. A log
    whose speeds and places deny each other has no mean speed; what each of them says stands in `agreement`, and the
    receiver's own figures in `denied`.
    """

    samples: int
    rate_hz: float
    duration_s: float
    distance_m: float
    distance_within_m: float
    distance_from: str
    source: str
    rejected: dict[str, int]
    peak: Best | None
    best_1s: Best | None
    top: Best | None
    best_course: Best | None
    course_m: float
    two_way: TwoWay | None
    planing_s: float
    planing_within_s: float
    passes: list[Pass] = field(default_factory=list)
    corners: list[Corner] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    agreement: Agreement = Agreement()
    denied: list[Best | TwoWay] = field(default_factory=list)

    @property
    def rejected_samples(self) -> int:
        """How many samples were looked at and do not count."""
        return sum(self.rejected.values())


@dataclass(frozen=True)
class Looked:
    """A track with all that was found in it; `motion` and `course` are None if it holds no motion."""

    track: Track
    cleaned: Cleaned
    motion: Motion | None
    course: Course | None
    measures: Measures


def look_at(
    track: Track,
    course_m: float = USUAL_COURSE_M,
    *,
    limit_s: float = USUAL_LIMIT_S,
    restored: Iterable[int] = (),
) -> Looked:
    """Clean and measure a track. `course_m` is the length of the marked course, `limit_s` the longest time from
    one pass to the opposite one, `restored` the samples that count whatever is found. O(n)."""
    cleaned = clean(track, restored)
    motion = motion_of(track, cleaned)
    if motion is None:
        return Looked(track, cleaned, None, None, _nothing(track, cleaned, course_m))
    course = course_of(motion)
    corners = [] if motion.is_too_sparse else corners_of(motion, course)
    windows = windows_over(motion, course_m)
    passes = passes_of(motion, course, corners, windows)
    planing, planing_within = _time_above(motion, course, PLANING_MS)
    top, both = best_over_time(motion, 2.0), two_way(passes, course_m, limit_s)
    agreement = agreement_of(track, motion, top)
    distance = distance_of(track, motion, course, speeds_denied=agreement.by == "ratio")
    measures = Measures(
        samples=len(track),
        rate_hz=1 / motion.interval_s,
        duration_s=float(motion.time_s[-1] - motion.time_s[0]),
        distance_m=distance.way_m,
        distance_within_m=distance.within_m,
        distance_from=distance.source,
        source=motion.source,
        rejected=cleaned.rejected(),
        peak=peak(motion),
        best_1s=best_over_time(motion, 1.0),
        top=top,
        best_course=best_over_distance(motion, windows),
        course_m=course_m,
        two_way=both,
        planing_s=planing,
        planing_within_s=planing_within,
        passes=passes,
        corners=corners,
        said=_said(motion, top, both, passes, course_m, limit_s),
        agreement=agreement,
    )
    return Looked(track, cleaned, motion, course, _denied(measures) if agreement.is_disputed else measures)


def _denied(measures: Measures) -> Measures:
    """The same without any mean that the places deny; a single sample stays what it is, a reading."""
    figures = (measures.top, measures.two_way, measures.best_course, measures.best_1s, measures.peak)
    return replace(
        measures,
        best_1s=None,
        top=None,
        best_course=None,
        two_way=None,
        said=[*denial_words(measures.agreement), *measures.said],
        denied=[one for one in figures if one is not None],
    )


def _nothing(track: Track, cleaned: Cleaned, course_m: float) -> Measures:
    said = "There are no two samples with a time and a speed or a place, so nothing can be measured."
    return Measures(
        len(track), 0.0, 0.0, 0.0, 0.0, "", cleaned.source, cleaned.rejected(), None, None, None, None, course_m, None,
        0.0, 0.0, said=[said],
    )  # fmt: skip


def _time_above(motion: Motion, course: Course, speed_ms: float) -> tuple[float, float]:
    """Time above a speed, and within how much: each crossing lies somewhere between two samples, and so do
    beginning and end."""
    above = course.speed_ms >= speed_ms
    gaps = np.diff(motion.time_s)
    crossed = (above[1:] != above[:-1]) & motion.linked
    within = max(float(gaps[crossed].sum()), motion.interval_s)
    return float(gaps[above[1:] & above[:-1] & motion.linked].sum()), within


def _said(
    motion: Motion,
    top: Best | None,
    both: TwoWay | None,
    passes: list[Pass],
    course_m: float,
    limit_s: float,
) -> list[str]:
    """In words, what could not be had and what is odd about the log."""
    said = []
    if motion.is_too_sparse:
        said.append(
            f"Samples are {motion.interval_s:.3g} s apart, more than 2 s: no mean speed can be taken from "
            "them. The highest single sample is all there is, and it is a poor guide."
        )
    elif top is None:
        said.append("There are no 2 s without a break, so there is no headline speed.")
    if motion.source == "position":
        said.append(
            "The file has no speeds of its own; they are worked out from positions"
            + (f", over steps of {motion.step_s:.2g} s." if motion.step_s > motion.interval_s else ".")
        )
    if motion.east_m is None:
        said.append("The file has no positions: no plan, no corners and no two-way average.")
    elif both is None and not motion.is_too_sparse:
        enough = sum(1 for one in passes if one.course_ms is not None)
        said.append(
            f"No two opposite passes over {course_m:g} m within {limit_s / 60:.3g} min"
            + (f" among {enough} long enough." if enough else ".")
        )
    return said
