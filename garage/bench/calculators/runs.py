"""Runs: both ways over a course, how many runs a question needs, what another prop would do."""

import math
from collections.abc import Mapping
from typing import Any

from garage.bench.calculators import common
from garage.bench.calculators.motors import KV, NO_LOAD, RESISTANCE
from garage.bench.definition import Answer, Calculator, Example, Input, Ranged, Result, Value, WrongInput
from garage.bench.own_lines import own_runs_of
from garage.calc import passes, sample_size, whatif
from garage.calc.motor import Motor

_GROUP = "Runs"
_KMH_PER_MS = 3.6
_LEVELS = (90, 95)


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


def _what_if(given: Mapping[str, Any]) -> Answer:
    run = whatif.MeasuredRun(
        Motor(given["kv"], given["resistance"] / 1000, given["no_load_current"]),
        given["voltage"],
        given["current"],
        given["speed"],
        given["diameter"],
        given["pitch"],
        given["full_throttle_share"],
        given["pack_resistance"] / 1000,
    )
    change = whatif.Change(given["new_diameter"], given["new_pitch"], given["new_voltage"])
    try:
        own = own_runs_of(given["own"] or "")
    except ValueError as error:
        raise WrongInput({"own": str(error)}) from error
    found = whatif.forecast(run, change, own)
    capacity_ah = given["capacity"] / 1000 if given["capacity"] else None
    ranged = {
        name: Ranged(*(getattr(one, column) for one in (found.middle, found.low, found.high)))
        for name, column in (
            ("shaft_speed", "shaft_speed_rpm"),
            ("speed", "speed_kmh"),
            ("current", "current_a"),
            ("motor_power", "motor_power_w"),
        )
    }
    current = ranged["current"]
    ends = (current.value, current.low, current.high)
    rate = Ranged(*(end / capacity_ah if capacity_ah and end is not None else None for end in ends))
    results: dict[str, Value] = {**ranged, "c_rate": rate, "slip": found.slip, "own_runs": _own_words(found.own)}
    return Answer(results, tuple(_what_if_cautions(given, found, capacity_ah)))


def _own_words(fit: whatif.OwnFit | None) -> str:
    """How the forecast was held against the person's other props, in words."""
    if fit is None:
        return "no other prop on this hull: not held against own runs"
    props = "1 other prop" if fit.props == 1 else f"{fit.props} other props"
    told = (
        f"{props} on this hull: seen speeds were {fit.mean_percent:+.1f} % of the forecast in the mean,"
        f" {fit.worst_percent:+.1f} % at the worst"
    )
    if fit.is_used:
        told += f"; refitted to them, {fit.left_percent:+.1f} % is left"
    return told.replace("-", "\u2212")


def _what_if_cautions(given: Mapping[str, Any], found: whatif.Forecast, capacity_ah: float | None) -> list[str]:
    said = ["A new load can overheat motor, controller, wires and pack: short runs first, and feel what gets hot."]
    for name, word in (("diameter", "diameter"), ("pitch", "pitch"), ("voltage", "voltage")):
        new = given[f"new_{name}"]
        if new is not None and abs(new / given[name] - 1) > 0.15:
            said.append(f"The {word} changes by more than 15 %: too far from the measured run to trust the figures.")
    if found.slip < 0:
        said.append("The measured run has negative slip: look at Kv, resistance, pitch and speed first.")
    elif found.slip > 0.45:
        said.append("The measured run has much slip: is the prop’s pitch right, and was it full throttle?")
    if given["full_throttle_share"] < 1:
        said.append("The current is a mean: full throttle is inferred from its share, which widens the range.")
    if found.own is not None and not found.own.is_used:
        said.append(
            "Your other props do not fit this forecast at all, so it was not refitted: look at sizes and speeds,"
            " and at whether motor and packs were the same."
        )
    if capacity_ah is None:
        said.append("No capacity given, so no C-rate.")
    return said


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
                hint="parted by semicolons: 72; 68",
            ),
            Input(
                "times",
                "or times, there and back in turns",
                "s",
                "duration",
                optional=True,
                many=True,
                above=0,
                high=86400,
                hint="parted by semicolons",
            ),
            Input("course", "with the length of the course", "m", "distance", optional=True, above=0, high=100000),
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
    Calculator(
        "what-if",
        "What if",
        "What would another prop or voltage do to a boat that was measured?",
        _GROUP,
        (
            Input("voltage", "Voltage under load, measured", "V", "voltage", above=0, high=2000),
            KV,
            RESISTANCE,
            NO_LOAD,
            Input("current", "Current, measured", "A", "current", above=0, high=20000),
            common.speed(label="Speed, measured", low=None, above=0),
            common.diameter(),
            common.pitch(),
            common.diameter(name="new_diameter", label="New diameter", optional=True),
            common.pitch(name="new_pitch", label="New pitch", optional=True),
            Input("new_voltage", "New voltage under load", "V", "voltage", optional=True, above=0, high=2000),
            Input(
                "capacity",
                "Capacity of the pack",
                "mAh",
                "charge",
                optional=True,
                above=0,
                high=1e6,
                hint="for the C-rate",
            ),
            Input(
                "pack_resistance",
                "Resistance of the pack",
                "mΩ",
                "resistance",
                default="0",
                low=0,
                high=1e5,
                hint="lets the voltage sag with the current",
            ),
            Input(
                "full_throttle_share",
                "Share of the time at full throttle",
                kind="fraction",
                default="1",
                above=0,
                high=1,
                hint="less than 1 when the current is a mean",
            ),
            Input(
                "own",
                "Your other props on this hull, one a line: diameter;pitch;speed;current",
                kind="lines",
                optional=True,
                hint="mm, km/h, A; the current as above or left out. The forecast is refitted to them",
            ),
        ),
        (
            Result("speed", "Speed", "km/h", "speed"),
            Result("current", "Current", "A", "current"),
            Result("c_rate", "C-rate", "C", "c_rate"),
            Result("shaft_speed", "Shaft speed", "rpm", "shaft_speed"),
            Result("motor_power", "Power at the shaft", "W", "power"),
            Result("slip", "Slip of the measured run, kept", kind="fraction"),
            Result("own_runs", "Held against own runs", kind="text"),
        ),
        _what_if,
        "Motor: M. Drela, First-Order DC Electric Motor Model, 2007. Torque with D⁵ and pitch ratio to a power of 0.8"
        " to 1.5, slip kept: common practice, no source.",
        "Changes up to about 15 % from a run that was measured, at full throttle. Ranges hold 90 % of 2,000 samples."
        " On an open thrust stand the current missed by 2.4 % in the mean, 5 % at the worst."
        " Own runs refit it, each prop’s speed counting with a scatter of 2 %, its current with 10 % (common practice,"
        " no source).",
        Example(
            {
                "voltage": "14.8",
                "kv": "2200",
                "resistance": "12",
                "no_load_current": "2.5",
                "current": "60",
                "speed": "90",
                "diameter": "40",
                "pitch": "56",
                "new_diameter": "42",
                "new_pitch": "58.8",
                "capacity": "5000",
            },
            "own construction: a prop 5 % larger all over",
        ),
        fills=("run",),
    ),
)
