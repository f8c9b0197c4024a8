"""What another prop or voltage would do to a boat that was measured."""

from collections.abc import Mapping
from typing import Any

from garage.bench.calculators import common
from garage.bench.calculators.motors import KV, NO_LOAD, RESISTANCE
from garage.bench.definition import Answer, Calculator, Example, Input, Ranged, Result, Value
from garage.bench.own_lines import OWN_FIELDS, own_runs_of
from garage.calc import whatif
from garage.calc.motor import Motor

_GROUP = "Runs"


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
        raise common.wrong_list("own", error) from error
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
    else:
        said.append(
            "The current counts as that of full throttle. The mean of a run is less: if it is one, write the share of"
            " the time at full throttle."
        )
    if found.own is not None and not found.own.is_used:
        said.append(
            "Your other props, their speeds and currents together, do not fit this forecast, so it was not refitted:"
            " look at sizes, speeds and currents, and at whether motor and packs were the same."
        )
    if capacity_ah is None:
        said.append("No capacity given, so no C-rate.")
    return said


CALCULATORS = (
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
                "Your other props on this hull",
                kind="lines",
                optional=True,
                hint="the current as above or left out; the forecast is refitted to them",
                of=OWN_FIELDS,
                each="Prop",
                rows=1,
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
        "Changes up to about 15 % from a run that was measured, at full throttle. Ranges hold 90 % of 512 samples,"
        " evenly spread."
        " On an open thrust stand the current missed by 2.0 % in the mean, 4.9 % at the worst; shaft speed by 1.0 and"
        " 3.1 %."
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
