"""Runs: both ways over a course, how many runs a question needs."""

import math
from collections.abc import Mapping
from typing import Any

from garage.bench.definition import Answer, Calculator, Example, Input, Result
from garage.calc import passes, sample_size

_GROUP = "Runs"
_KMH_PER_MS = 3.6
_LEVELS = (90, 95)
_BY_TIMES = "By times over a course instead"


def _two_way(given: Mapping[str, Any]) -> Answer:
    if (given["speeds"] is None) == (given["times"] is None):
        raise ValueError("Give the speeds, or the times with the course, and not both.")
    speeds = given["speeds"]
    if speeds is None:
        if given["course"] is None:
            raise ValueError("Times need the length of the course.")
        speeds = [given["course"] / time * _KMH_PER_MS for time in given["times"]]
    found = passes.two_way(speeds)
    cautions = []
    if len(speeds) % 2:
        cautions.append("One direction was driven once more: take the two-way mean, the plain means lean to it.")
    if found.standard_error is None:
        cautions.append("One pass each way: how much the passes scatter cannot be told. Four or more can.")
    results = {
        "mean_of_speeds": found.mean_of_speeds,
        "speed_of_mean_time": found.speed_of_mean_time,
        "along_course_drift": found.along_course_drift,
        "standard_error": found.standard_error,
        "two_way_mean": found.two_way_mean,
    }
    return Answer(results, tuple(cautions))


def _runs_needed(given: Mapping[str, Any]) -> Answer:
    run, day, seen, power = (given[name] for name in ("run_sd", "day_sd", "difference", "power"))
    results: dict[str, float | None] = {}
    for level in _LEVELS:
        confidence = level / 100
        results |= {
            f"runs_per_side_{level}": _whole(sample_size.runs_per_side(seen / run, power, confidence)),
            f"paired_{level}": _whole(sample_size.pairs(seen / (run * math.sqrt(2)), power, confidence)),
            f"other_days_{level}": _whole(sample_size.runs_per_side(seen / math.hypot(run, day), power, confidence)),
        }
    results |= {"runs_per_side": results["runs_per_side_95"], "paired": results["paired_95"]}
    cautions = []
    if day > 0:
        cautions.append("Runs on other days need more, however many a day: keep both sides on one day, in turns.")
    if results["runs_per_side_95"] and results["runs_per_side_95"] > 20:
        cautions.append("More runs than most will drive: look for a larger difference or less scatter.")
    return Answer(results, tuple(cautions))


def _whole(runs: float) -> int | None:
    """A count to drive: rounded up, but not for the last figure of the solving."""
    return math.ceil(runs - 1e-6) if math.isfinite(runs) else None


CALCULATORS = (
    Calculator(
        "two-way",
        "Both ways over a course",
        "What is the two-way average, and how much was drift?",
        _GROUP,
        (
            Input(
                "speeds",
                "Speeds, there and back in turns",
                "km/h",
                "speed",
                optional=True,
                many=True,
                above=0,
                high=1000,
                each="Pass",
            ),
            Input(
                "times",
                "Times, there and back in turns",
                "s",
                "duration",
                optional=True,
                many=True,
                above=0,
                high=86400,
                each="Pass",
                fold=_BY_TIMES,
            ),
            Input(
                "course", "Length of the course", "m", "distance", optional=True, above=0, high=100000, fold=_BY_TIMES
            ),
        ),
        (
            Result("mean_of_speeds", "Mean of the speeds", "km/h", "speed", 2),
            Result("speed_of_mean_time", "Course by the mean time", "km/h", "speed", 2),
            Result("two_way_mean", "Mean of the two directions", "km/h", "speed", 2),
            Result("along_course_drift", "Drift along the course, plus with the first pass", "km/h", "speed", 2),
            Result("standard_error", "Standard error of the two-way mean", "km/h", "speed", 2),
        ),
        _two_way,
        "Arithmetic and harmonic mean; the error from the scatter within each direction.",
        "Passes in turns, close in time, wind and current steady. State which mean a record is by: they differ.",
        Example({"speeds": "118.8 km/h; 97.2 km/h"}, "constructed: 33 and 27 m/s are 108.00 or 106.92 km/h"),
    ),
    Calculator(
        "runs-needed",
        "Runs needed",
        "How many runs does it take to see this difference?",
        _GROUP,
        (
            Input(
                "run_sd",
                "Scatter from run to run",
                "%",
                "percent",
                above=0,
                high=100,
                hint="standard deviation; 1 to 3 % is usual",
            ),
            Input("day_sd", "Scatter from day to day", "%", "percent", low=0, high=100),
            Input("difference", "Difference to see", "%", "percent", above=0, high=1000),
            Input("power", "Chance to see it", kind="fraction", default="0.8", low=0.05, high=0.999, hint="0 to 1"),
        ),
        (
            Result("runs_per_side", "Runs on each side, same day, 95 %", decimals=0),
            Result("paired", "Pairs, one of each in turns, 95 %", decimals=0),
            Result("runs_per_side_90", "Runs on each side, same day, 90 %", decimals=0),
            Result("runs_per_side_95", "Runs on each side, same day, 95 %", decimals=0),
            Result("paired_90", "Pairs, 90 %", decimals=0),
            Result("paired_95", "Pairs, 95 %", decimals=0),
            Result("other_days_90", "Days on each side, a run a day, 90 %", decimals=0),
            Result("other_days_95", "Days on each side, a run a day, 95 %", decimals=0),
        ),
        _runs_needed,
        "J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), two-sided t test by the noncentral"
        " t.",
        "Scatter that is alike on both sides and near to normal. 1 to 3 % is a planning value from memory: take your"
        " own.",
        Example({"run_sd": "2", "day_sd": "1.5", "difference": "1"}, "Cohen 1988: d of 0.5 takes 64 on each side"),
    ),
)
