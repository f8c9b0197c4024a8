"""What a pack does in a run: current, C, cycles, energy, sag, heat; and what its resting volts say of its charge.

Charge in mAh, time in s, resistance in mΩ of the whole pack, mass in g, temperatures in °C.
"""

import math
from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from garage.calc.pack import SPECIFIC_HEAT_BAND

# A charger reads more than was drawn: 1 to 2 %, and balancing; from memory.
PUT_BACK_TOO_MUCH = (0.97, 1.0)
# Between the published specific heats of lithium cells (see calc.pack).
HEAT_J_KG_K = 1000.0
# Mean volts of a loaded cell over a run: from a hard to a gentle one; common practice, no source.
LOADED_V_PER_CELL = (3.4, 3.7, 3.9)
NOMINAL_V_PER_CELL = 3.7


@dataclass(frozen=True)
class Range:
    """A value with a low and a high end."""

    value: float
    low: float
    high: float


def c_rate(current_a: float, capacity_mah: float) -> float:
    """Current over the current that empties the pack in an hour (IEC 61434), 1/h."""
    return current_a * 1000 / capacity_mah


def current_of_c(rate: float, capacity_mah: float) -> float:
    """The current in A of so many C."""
    return rate * capacity_mah / 1000


def equivalent_cycles(discharges_mah: Iterable[float], capacity_mah: float) -> float:
    """Charge taken out over capacity, in full cycles."""
    return sum(discharges_mah) / capacity_mah


def sag_v(current_a: float, resistance_mohm: float) -> float:
    """By how many volts a pack falls under load."""
    return current_a * resistance_mohm / 1000


def heat_w(current_a: float, resistance_mohm: float) -> float:
    """Power lost inside, I²R."""
    return current_a**2 * resistance_mohm / 1000


def energy_wh(charge_mah: float, series: int) -> Range:
    """Energy given in a run, from the charge put back and the mean volts of a loaded cell; both are ranges."""
    low_v, mean_v, high_v = LOADED_V_PER_CELL
    amp_hours = charge_mah / 1000 * series
    share = sum(PUT_BACK_TOO_MUCH) / 2
    return Range(
        amp_hours * mean_v * share,
        amp_hours * low_v * PUT_BACK_TOO_MUCH[0],
        amp_hours * high_v * PUT_BACK_TOO_MUCH[1],
    )


def heat_from_rise_j(mass_g: float, rise_k: float) -> Range:
    """Heat that stayed in a pack that warmed by `rise_k`; what the air and the water took is not in it."""
    mass_kg = mass_g / 1000
    low, high = sorted(mass_kg * heat * rise_k for heat in SPECIFIC_HEAT_BAND)
    return Range(mass_kg * HEAT_J_KG_K * rise_k, low, high)


def after_on_another_day_c(start_c: float, end_c: float, other_start_c: float, constant_k: float) -> Range:
    """The temperature after the same run begun at `other_start_c`: at most the same rise on top; less on a
    warmer day, since resistance and with it the heat falls. The value lies between both."""
    rise = end_c - start_c
    middle_k = (start_c + end_c) / 2 + 273.15
    shifted_k = middle_k + other_start_c - start_c
    factor = math.exp(constant_k * (1 / shifted_k - 1 / middle_k))
    ends = sorted((other_start_c + rise, other_start_c + rise * factor))
    return Range(sum(ends) / 2, ends[0], ends[1])


# Volts of a resting cell by state of charge in percent. Where they come from:
# a polymer cell of 850 mAh, charged to 4.1 V (Chen and Rincon-Mora 2006, eq. 2; top 4.103 V);
# a pouch cell of 2.28 Ah (Ai et al. 2020, by its half-cell tables);
# a general table for lithium-ion cells (read as quoted on a page about voltage and charge).
POLYMER_V = tuple(
    (
        s,
        -1.031 * math.exp(-0.35 * s) + 3.685 + 0.2156 * (s / 100) - 0.1178 * (s / 100) ** 2 + 0.3201 * (s / 100) ** 3,
    )
    for s in range(0, 101)
)
POUCH_V = tuple(
    zip(
        range(0, 101, 10),
        (3.0, 3.6386, 3.6944, 3.7321, 3.7611, 3.7908, 3.8333, 3.9028, 3.9875, 4.0794, 4.1841),
        strict=True,
    )
)
_GENERAL = ((0, 3.5), (30, 3.8), (55, 3.9), (75, 4.0), (87, 4.1), (100, 4.2))
_CURVES: tuple[Sequence[tuple[float, float]], ...] = (POLYMER_V, POUCH_V, _GENERAL)


def charge_band_percent(resting_v: float) -> tuple[float, float]:
    """Between which states of charge a cell rested for half an hour or more at about 20 °C lies. Above the
    top of a curve it is full by that curve, below its end empty."""
    shares = [along([(v, s) for s, v in curve], resting_v) for curve in _CURVES]
    return min(shares), max(shares)


def along(points: Sequence[tuple[float, float]], at: float) -> float:
    """Straight between points in order; level beyond the ends."""
    places = [place for place, _ in points]
    if at <= places[0]:
        return points[0][1]
    if at >= places[-1]:
        return points[-1][1]
    index = bisect_left(places, at)
    (x0, y0), (x1, y1) = points[index - 1], points[index]
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
