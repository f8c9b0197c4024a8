"""Resting voltage and state of charge of lithium polymer cells, between published curves that disagree.

A curve holds after half an hour's rest or more, near 20 °C. Ageing and chemistry move it: so a band, not a line.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Curve:
    """One published curve: volts per cell at a state of charge from 0 to 1, rising all the way."""

    title: str
    source: str
    voltage_v: Callable[[float], float]


@dataclass(frozen=True)
class Band:
    """What the curves say, from `low` to `high`; `silent` names those that do not reach there."""

    low: float | None
    high: float | None
    silent: tuple[str, ...]


def polymer_fit_v(state_of_charge: float) -> float:
    """Open-circuit volts of an 850 mAh polymer cell by state of charge, 0 to 1; charged to 4.10 V only.

    M. Chen and G. A. Rincón-Mora, Accurate Electrical Battery Model, IEEE Trans. Energy Conversion 21 (2006)
    504, eq. (3) (coefficients seen in an open-source transcription). Ends at 4.103 V: never turned round above.
    """
    s = state_of_charge
    return -1.031 * math.exp(-35 * s) + 3.685 + 0.2156 * s - 0.1178 * s**2 + 0.3201 * s**3


def _table(*points: tuple[float, float]) -> Callable[[float], float]:
    """Straight lines between points of percent and volts, rising."""

    def at(state_of_charge: float) -> float:
        percent = state_of_charge * 100
        for (low, low_v), (high, high_v) in zip(points, points[1:], strict=False):
            if percent <= high:
                return low_v + (high_v - low_v) * (percent - low) / (high - low)
        return points[-1][1]

    return at


_POUCH_V = (3.0, 3.6386, 3.6944, 3.7321, 3.7611, 3.7908, 3.8333, 3.9028, 3.9875, 4.0794, 4.1841)

CURVES: Mapping[str, Curve] = {
    "general": Curve(
        "general lithium-ion table",
        "Li-ion voltage and charge, a table read in an excerpt",
        _table((0, 3.5), (30, 3.8), (55, 3.9), (75, 4.0), (87, 4.1), (100, 4.2)),
    ),
    "hobby": Curve(
        "hobby pack table",
        "a table in general use, from memory",
        _table(
            (0, 3.27), (5, 3.61), (10, 3.69), (20, 3.73), (30, 3.77), (40, 3.80), (50, 3.84), (60, 3.87), (70, 3.95),
            (80, 4.02), (90, 4.11), (100, 4.20),
        ),
    ),
    "polymer": Curve(
        "850 mAh polymer cell, charged to 4.1 V",
        "M. Chen and G. A. Rincón-Mora, IEEE Trans. Energy Conversion 21 (2006) 504, eqs. (2)-(7)",
        polymer_fit_v,
    ),
    "pouch": Curve(
        "2.28 Ah pouch cell",
        "half-cell tables of W. Ai and others, J. Electrochem. Soc. 167 (2020) 013512, as packaged in PyBaMM",
        _table(*((10.0 * step, volts) for step, volts in enumerate(_POUCH_V))),
    ),
}  # fmt: skip


def voltage_band(state_of_charge: float, curves: Mapping[str, Curve] = CURVES) -> Band:
    """Resting volts per cell at a state of charge of 0 to 1, lowest and highest of the curves.

    ValueError outside 0 to 1.
    """
    if not 0 <= state_of_charge <= 1:
        raise ValueError("A state of charge lies between 0 and 1.")
    volts = [curve.voltage_v(state_of_charge) for curve in curves.values()]
    return Band(min(volts), max(volts), ())


def state_of_charge_band(voltage_v: float, curves: Mapping[str, Curve] = CURVES) -> Band:
    """State of charge at resting volts per cell, lowest and highest of the curves that reach there."""
    found, silent = [], []
    for curve in curves.values():
        charge = _charge_at(curve, voltage_v)
        if charge is None:
            silent.append(f"{curve.title}: {curve.voltage_v(0):.3f} to {curve.voltage_v(1):.3f} V")
        else:
            found.append(charge)
    return Band(min(found, default=None), max(found, default=None), tuple(silent))


def _charge_at(curve: Curve, voltage_v: float) -> float | None:
    if not curve.voltage_v(0) <= voltage_v <= curve.voltage_v(1):
        return None
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        if curve.voltage_v(middle) < voltage_v:
            low = middle
        else:
            high = middle
    return (low + high) / 2
