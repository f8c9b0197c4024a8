"""Pack: load, heat, resistance at another temperature, resting voltage, refill."""

from collections.abc import Mapping
from typing import Any

from garage.bench.calculators import common
from garage.bench.definition import Answer, Calculator, Example, Input, Ranged, Result, out_of_range
from garage.calc import pack, voltage

_GROUP = "Motor and pack"
_FIRE = "Packs burn when they are abused: the maker’s limits and local rules come first."
_MOST_WARM_C = 60.0
_LOWEST_LOADED_CELL_V = 3.0
_WIDEST_STEP_K = 15.0
_IDLE_PART_AT_MOST = 0.5
_CURRENT = Input("current", "Current", "A", "current", above=0, high=20000)
_RESISTANCE_HINT = "at the pack’s temperature, by one method and instrument"


def _pack_load(given: Mapping[str, Any]) -> Answer:
    resistance = pack.pack_resistance_ohm(
        given["cells"], given["parallel"], given["cell_resistance"] / 1000, given["wiring_resistance"] / 1000
    )
    load = pack.load(given["cells"], given["capacity"] / 1000, resistance, given["cell_voltage"], given["current"])
    cell_v = load.terminal_voltage_v / given["cells"]
    if cell_v <= 0:
        raise ValueError("At this current the resistance takes the whole voltage.")
    cautions = [_FIRE]
    if cell_v < _LOWEST_LOADED_CELL_V:
        cautions.append(
            f"{cell_v:.2f} V per cell under load: below 3.0 V is hard on cells (common practice, no source)."
        )
    if given["cell_voltage"] > 4.23:
        cautions.append("More than 4.23 V per cell: only cells made for it stand that.")
    results = {
        "c_rate": load.c_rate_per_h,
        "pack_resistance": resistance * 1000,
        "terminal_voltage": load.terminal_voltage_v,
        "sag": load.sag_v,
        "heat": load.heat_w,
        "energy": load.energy_wh,
        "full_power_time": load.full_power_time_s,
        "time_to_80_percent": 0.8 * load.full_power_time_s,
    }
    return Answer(results, tuple(cautions))


def _pack_heat(given: Mapping[str, Any]) -> Answer:
    if (given["current"] is None) == (given["rise"] is None):
        raise ValueError("Give the current or the rise, and not both.")
    resistance, mass_kg = given["pack_resistance"] / 1000, given["mass"] / 1000
    rest = (given["duration"], mass_kg, given["specific_heat"], given["loss_coefficient"])
    current, rise = given["current"], given["rise"]
    if rise is None:
        rise = pack.temperature_rise_k(current**2 * resistance, *rest)
    else:
        current = pack.current_for_rise_a(rise, resistance, *rest)
    end_c = given["air_temperature"] + rise
    cautions = out_of_range("The specific heat", given["specific_heat"], *pack.SPECIFIC_HEAT_BAND, "J/(kg K)")
    if end_c > _MOST_WARM_C:
        cautions += (f"{end_c:.0f} °C: a pack should not come back hotter than 60 °C. {_FIRE}",)
    return Answer({"rise": rise, "temperature": end_c, "current": current}, cautions)


def _resistance_at(given: Mapping[str, Any]) -> Answer:
    read, at, reference = given["resistance"], given["temperature"], given["reference"]
    value = pack.resistance_at(read, at, reference, given["activation_energy"] * 1000)
    ends = sorted(pack.resistance_at(read, at, reference, end) for end in pack.ACTIVATION_BAND_J_PER_MOL)
    cautions = []
    if abs(at - reference) > _WIDEST_STEP_K:
        cautions.append(f"{abs(at - reference):.0f} K apart: more than 15 K is too far to compare readings.")
    cautions += out_of_range("The temperature", at, -10, 60, "°C")
    return Answer({"resistance_at_reference": Ranged(value, min(*ends, value), max(*ends, value))}, tuple(cautions))


def _rest_voltage(given: Mapping[str, Any]) -> Answer:
    charge, volts = given["state_of_charge"], given["voltage"]
    if (charge is None) == (volts is None):
        raise ValueError("Give the state of charge or the voltage, and not both.")
    curves = voltage.CURVES if given["curve"] == "band" else {given["curve"]: voltage.CURVES[given["curve"]]}
    if volts is None:
        band = voltage.voltage_band(charge, curves)
        return Answer({"voltage": _middle(band), "state_of_charge": charge})
    band = voltage.state_of_charge_band(volts, curves)
    cautions = [f"{volts:.3f} V lies outside this curve: {curve}." for curve in band.silent]
    if band.low is None:
        cautions.insert(0, "No published curve reaches this voltage.")
    if volts > 4.2:
        cautions.append(f"A resting cell above 4.20 V is over-full unless it is made for it. {_FIRE}")
    if volts < 3.3:
        cautions.append(f"A resting cell below 3.3 V is a reason to look at the pack (read in an excerpt). {_FIRE}")
    return Answer({"voltage": volts, "state_of_charge": _middle(band)}, tuple(cautions))


def _middle(band: voltage.Band) -> Ranged:
    if band.low is None or band.high is None:
        return Ranged(None, None, None)
    return Ranged((band.low + band.high) / 2, band.low, band.high)


def _refill(given: Mapping[str, Any]) -> Answer:
    mean = pack.mean_current_a(given["charge"], given["duration"])
    share = given["full_throttle_share"]
    most = pack.full_throttle_current_a(mean, share)
    least = pack.full_throttle_current_a(mean, share, _IDLE_PART_AT_MOST)
    capacity_ah = given["capacity"] / 1000 if given["capacity"] else None
    energy = given["charge"] / 1000 * given["voltage"]
    cautions = []
    if share < 1:
        cautions.append(
            "Current at full throttle: the most if the rest of the run drew nothing, the least if it drew half."
        )
    if capacity_ah and given["charge"] / 1000 > 0.8 * capacity_ah:
        cautions.append("More than 80 % of the capacity was taken out (read in an excerpt: a usual limit).")
    results = {
        "mean_current": mean,
        "full_throttle_current": Ranged(most, least, most) if share < 1 else most,
        "c_rate": mean / capacity_ah if capacity_ah else None,
        "full_throttle_c_rate": most / capacity_ah if capacity_ah else None,
        "energy": energy,
        "energy_per_km": energy / (given["distance"] / 1000) if given["distance"] else None,
    }
    return Answer(results, tuple(cautions))


CALCULATORS = (
    Calculator(
        "pack-load",
        "Pack under load",
        "What does this pack still give at this current?",
        _GROUP,
        (
            common.count("cells", "Cells in series", high=30),
            common.count("parallel", "Cells in parallel", default="1", high=30),
            Input("capacity", "Capacity of the pack", "mAh", "charge", above=0, high=1e6, hint="of the whole pack"),
            Input(
                "cell_resistance", "Resistance of a cell", "mΩ", "resistance", above=0, high=1e4, hint=_RESISTANCE_HINT
            ),
            Input("cell_voltage", "Resting voltage of a cell", "V", "voltage", above=0, high=5),
            _CURRENT,
            Input("wiring_resistance", "Leads and plugs", "mΩ", "resistance", default="0", low=0, high=1e4),
        ),
        (
            Result("c_rate", "C-rate", "C", "c_rate"),
            Result("pack_resistance", "Resistance of the pack", "mΩ", "resistance"),
            Result("terminal_voltage", "Voltage under load", "V", "voltage"),
            Result("sag", "Sag", "V", "voltage"),
            Result("heat", "Heat in the pack", "W", "power"),
            Result("energy", "Energy when full to the capacity", "Wh", "energy"),
            Result("full_power_time", "Time to empty it wholly", "s", "duration", 0),
            Result("time_to_80_percent", "Time to take out 80 %", "s", "duration", 0),
        ),
        _pack_load,
        "Ohm’s law; C-rate as in IEC 61434 (from memory).",
        "Cells that are alike and broken in. The resistance holds at one temperature: at 10 °C it is half as much"
        " again as at 25 °C, or more.",
        Example(
            {
                "cells": "6",
                "capacity": "5000",
                "cell_resistance": "1.5",
                "wiring_resistance": "2",
                "cell_voltage": "4.0",
                "current": "150",
            },
            "constructed: 11 mΩ, 22.35 V, 247.5 W, 30 C",
        ),
        fills=("pack",),
    ),
    Calculator(
        "pack-heat",
        "Heat in a pack",
        "How warm does the pack get in a run?",
        _GROUP,
        (
            Input(
                "pack_resistance",
                "Resistance of the pack",
                "mΩ",
                "resistance",
                above=0,
                high=1e5,
                hint=_RESISTANCE_HINT,
            ),
            common.mass(label="Mass of the pack"),
            Input("duration", "Duration at that current", "s", "duration", above=0, high=86400),
            common.temperature("air_temperature", "Temperature at the start", hint="pack and air alike"),
            Input("current", "Current", "A", "current", optional=True, above=0, high=20000, hint="or the rise below"),
            Input("rise", "Rise allowed", "K", "temperature_rise", optional=True, above=0, high=200),
            Input("specific_heat", "Specific heat", "J/kg/K", "specific_heat", default="1000", above=0, high=5000),
            Input(
                "loss_coefficient",
                "Heat lost to the air",
                "W/K",
                "heat_loss",
                default="0",
                low=0,
                high=1000,
                hint="0 for a sealed hull and a short run",
            ),
        ),
        (
            Result("rise", "Rise", "K", "temperature_rise"),
            Result("temperature", "Temperature at the end", "°C", "temperature"),
            Result("current", "Current", "A", "current"),
        ),
        _pack_heat,
        "Energy balance of one lump: F. P. Incropera and others, Fundamentals of Heat and Mass Transfer, chapter 5."
        " Specific heat: published cells 830 to 1130 J/(kg K).",
        "A steady current. Without loss the answer is the most it can be; the middle of a pack is warmer than its"
        " skin.",
        Example(
            {
                "pack_resistance": "4",
                "mass": "350 g",
                "duration": "240 s",
                "air_temperature": "20",
                "current": "100",
                "loss_coefficient": "0.25",
            },
            "constructed, closed form: 45.2063 °C",
        ),
        fills=("pack", "run"),
    ),
    Calculator(
        "resistance-at",
        "Resistance at 25 °C",
        "What would this reading be at another temperature?",
        _GROUP,
        (
            Input("resistance", "Resistance as read", "mΩ", "resistance", above=0, high=1e5),
            common.temperature(label="Temperature at the reading"),
            common.temperature("reference", "Temperature to compare at", default="25"),
            Input(
                "activation_energy", "Activation energy", "kJ/mol", "activation_energy", default="21.6", low=0, high=100
            ),
        ),
        (Result("resistance_at_reference", "Resistance there", "mΩ", "resistance"),),
        _resistance_at,
        "Arrhenius law; 21.6 kJ/mol (2600 K) from open ageing data of cells at 24 and 43 °C, range from 2000 and"
        " 3500 K.",
        "Up to 15 K apart, one method, one instrument, a like state of charge. Whole cells: 20 to 30 kJ/mol.",
        Example({"resistance": "3.0", "temperature": "15"}, "own evaluation of the formula"),
        fills=("pack",),
    ),
    Calculator(
        "rest-voltage",
        "Resting voltage",
        "How full is a cell that rests at this voltage?",
        _GROUP,
        (
            Input(
                "voltage",
                "Resting voltage of a cell",
                "V",
                "voltage",
                optional=True,
                above=0,
                high=6,
                hint="or the state of charge below",
            ),
            Input("state_of_charge", "State of charge", kind="fraction", optional=True, low=0, high=1, hint="0 to 1"),
            Input(
                "curve",
                "By",
                kind="choice",
                default="band",
                choices=("band", *voltage.CURVES),
                hint="band: lowest to highest of the published curves",
            ),
        ),
        (
            Result("state_of_charge", "State of charge", kind="fraction"),
            Result("voltage", "Resting voltage of a cell", "V", "voltage", 3),
        ),
        _rest_voltage,
        "; ".join(f"{name}: {curve.source}" for name, curve in voltage.CURVES.items()) + ".",
        "After half an hour’s rest or more, near 20 °C. Curves differ by 0.1 and more: the range is the answer.",
        Example({"voltage": "3.85"}, "own evaluation of the published curves"),
        fills=("run",),
    ),
    Calculator(
        "refill",
        "From the charge put back",
        "What current and energy did the run take?",
        _GROUP,
        (
            Input("charge", "Charge put back", "mAh", "charge", above=0, high=1e6),
            Input("duration", "Duration of the run", "s", "duration", above=0, high=86400),
            Input("voltage", "Mean voltage", "V", "voltage", above=0, high=2000, hint="under load, of the whole pack"),
            Input("capacity", "Capacity of the pack", "mAh", "charge", optional=True, above=0, high=1e6),
            Input("distance", "Distance run", "m", "distance", optional=True, above=0, high=1e6),
            Input(
                "full_throttle_share",
                "Share of the time at full throttle",
                kind="fraction",
                default="1",
                above=0,
                high=1,
                hint="0 to 1",
            ),
        ),
        (
            Result("mean_current", "Mean current", "A", "current"),
            Result("full_throttle_current", "Current at full throttle", "A", "current"),
            Result("c_rate", "C-rate of the mean", "C", "c_rate"),
            Result("full_throttle_c_rate", "C-rate at full throttle, at most", "C", "c_rate"),
            Result("energy", "Energy", "Wh", "energy"),
            Result("energy_per_km", "Energy per kilometre", "Wh/km", "energy_per_distance"),
        ),
        _refill,
        "Charge by time; energy is charge × voltage.",
        "The charger puts back 1 to 2 % more than was drawn (from memory). A mean current is not the current at"
        " full throttle.",
        Example(
            {"charge": "3000", "duration": "120 s", "voltage": "14.0", "capacity": "5000"},
            "by definition: 90 A, 18 C, 42 Wh",
        ),
        fills=("pack", "run"),
    ),
)
