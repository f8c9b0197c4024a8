"""Internal resistance brought to 25 °C.

A cell's resistance falls as it warms, close to R = R25 exp(b (1/T - 1/298.15)) with T in kelvin. The constant b
is an activation energy over the gas constant; published ones of single cell parts reach from 17 to 53 kJ/mol
(Ecker et al. 2015, Chen et al. 2020, Marquis et al. 2019), a whole cell lies about 20 to 30.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.ageing.robust import fit_robustly

KELVIN = 273.15
REFERENCE_C = 25.0
# About 3 % a kelvin. Between cells aged at 24 and at 43 °C in open data it is rough: 2000 to 3500 are plausible.
USUAL_CONSTANT_K, LEAST_CONSTANT_K, MOST_CONSTANT_K = 2600.0, 2000.0, 3500.0
# A thermometer on the wrapper differs from the cell inside by that much; common practice, no source.
THERMOMETER_K = 1.0
# Outside these the single exponential is not to be trusted; common practice, no source.
COLDEST_C, HOTTEST_C = 5.0, 50.0
_FEWEST_FOR_OWN, _SPAN_FOR_OWN_K = 8, 10.0


@dataclass(frozen=True)
class AtReference:
    """A resistance as it would read at 25 °C, in the unit it came in, with a range for what is not known:
    how strongly this cell answers to temperature, and a kelvin of the thermometer."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Constant:
    """How strongly resistance answers to temperature, in kelvin; `own` if it follows from the pack's readings."""

    value_k: float
    low_k: float
    high_k: float
    own: bool


USUAL = Constant(USUAL_CONSTANT_K, LEAST_CONSTANT_K, MOST_CONSTANT_K, own=False)


def ratio_to_reference(temperature_c: float, constant_k: float) -> float:
    """R at `temperature_c` over R at 25 °C. ValueError at or below absolute zero."""
    if temperature_c <= -KELVIN:
        raise ValueError("below absolute zero")
    return math.exp(constant_k * _inverse_difference(temperature_c))


def at_reference(resistance: float, temperature_c: float, constant: Constant = USUAL) -> AtReference:
    """`resistance`, read at `temperature_c`, as it would be at 25 °C. ValueError unless it is positive."""
    if resistance <= 0:
        raise ValueError("a resistance is more than nothing")
    away = _inverse_difference(temperature_c)
    thermometer = constant.value_k * THERMOMETER_K / (temperature_c + KELVIN) ** 2
    down = math.hypot((constant.high_k - constant.value_k) * away, thermometer)
    up = math.hypot((constant.value_k - constant.low_k) * away, thermometer)
    # Above 25 °C a larger constant raises the result, below it lowers it.
    down, up = (down, up) if away > 0 else (up, down)
    value = resistance / ratio_to_reference(temperature_c, constant.value_k)
    return AtReference(value, value * math.exp(-down), value * math.exp(up))


def own_constant(cycles: Sequence[float], temperatures_c: Sequence[float], resistances: Sequence[float]) -> Constant:
    """A pack's own constant, once it has 8 readings over 10 K; the usual one before, and where its own comes
    out beyond what is plausible (ageing and temperature moved together).

    The logarithm of resistance is fitted robustly by cycle and inverse temperature at once; the range is the
    fit's own of 90 %, never less than 5 % of the value.
    """
    if len(resistances) < _FEWEST_FOR_OWN or max(temperatures_c) - min(temperatures_c) < _SPAN_FOR_OWN_K:
        return USUAL
    middle = sum(cycles) / len(cycles)
    columns = [
        [1.0, cycle - middle, _inverse_difference(celsius)]
        for cycle, celsius in zip(cycles, temperatures_c, strict=True)
    ]
    fit = fit_robustly(columns, [math.log(resistance) for resistance in resistances])
    value, half = fit.coefficients[2], max(1.645 * fit.errors[2], 0.05 * abs(fit.coefficients[2]))
    if not LEAST_CONSTANT_K * 0.75 <= value <= MOST_CONSTANT_K * 1.5 or half > value / 2:
        return USUAL
    return Constant(value, value - half, value + half, own=True)


def _inverse_difference(temperature_c: float) -> float:
    return 1 / (temperature_c + KELVIN) - 1 / (REFERENCE_C + KELVIN)
