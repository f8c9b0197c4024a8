"""Motor: one load point, and the best there is."""

from collections.abc import Mapping
from typing import Any

from garage.bench.definition import Answer, Calculator, Example, Input, Result
from garage.calc.motor import Motor, best_current_a, best_efficiency, load_point


def _motor(given: Mapping[str, Any]) -> Answer:
    motor = Motor(given["kv"], given["resistance"] / 1000, given["no_load_current"])
    point = load_point(motor, given["voltage"], given["current"])
    cautions = []
    if given["current"] < given["no_load_current"]:
        cautions.append("The current is below the no-load current: the shaft would have to be driven from outside.")
    if point.efficiency is not None and 0 < point.efficiency < 0.5:
        cautions.append("More than half of the power becomes heat in the motor: the model is near its end here.")
    results = {
        "shaft_speed": point.shaft_speed_rpm,
        "torque": point.torque_nm,
        "shaft_power": point.shaft_power_w,
        "input_power": point.input_power_w,
        "copper_loss": point.copper_loss_w,
        "iron_loss": point.iron_loss_w,
        "efficiency": point.efficiency,
        "best_current": best_current_a(motor, given["voltage"]),
        "best_efficiency": best_efficiency(motor, given["voltage"]),
    }
    return Answer(results, tuple(cautions))


KV = Input("kv", "Kv", "rpm/V", "kv", above=0, high=50000, hint="measured if you can; labels are 5 to 10 % off")
NO_LOAD = Input("no_load_current", "No-load current", "A", "current", low=0, high=500)
RESISTANCE = Input(
    "resistance",
    "Resistance",
    "mΩ",
    "resistance",
    above=0,
    high=1e5,
    hint="motor, controller and leads, from where the voltage is read",
)

CALCULATORS = (
    Calculator(
        "motor",
        "Motor at one load",
        "What does this motor make of volts and amps?",
        "Motor and pack",
        (
            KV,
            RESISTANCE,
            NO_LOAD,
            Input("voltage", "Voltage under load", "V", "voltage", above=0, high=2000),
            Input("current", "Current", "A", "current", above=0, high=20000),
        ),
        (
            Result("shaft_speed", "Shaft speed", "rpm", "shaft_speed"),
            Result("torque", "Torque", "N m", "torque"),
            Result("shaft_power", "Power at the shaft", "W", "power"),
            Result("input_power", "Power taken", "W", "power"),
            Result("copper_loss", "Lost in the windings", "W", "power"),
            Result("iron_loss", "Lost in iron and friction", "W", "power"),
            Result("efficiency", "Efficiency", kind="fraction"),
            Result("best_current", "Current of the best efficiency", "A", "current"),
            Result("best_efficiency", "Best efficiency", kind="fraction"),
        ),
        _motor,
        "M. Drela, First-Order DC Electric Motor Model, 2007 (three constants: Kv, resistance, no-load current).",
        "Full throttle. Timing, saturation and losses that grow with shaft speed are left out: near the limit a"
        " motor does worse.",
        Example(
            {"kv": "2200", "resistance": "12 mohm", "no_load_current": "2.5", "voltage": "14.8", "current": "60"},
            "constructed, closed form: 30976 rpm, 809.6 of 888 W",
        ),
        fills=("motor", "run"),
    ),
)
