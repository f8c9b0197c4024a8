"""A brushless motor as three constants: Kv, resistance, no-load current.

The first-order DC model (M. Drela, First-Order DC Electric Motor Model, 2007): n = Kv (V - I R),
Q = (I - I0) / Kv, with Kv in consistent units. It leaves out timing, saturation and iron losses that grow
with shaft speed, so it flatters a motor near its limit.
"""

import math
from dataclasses import dataclass

_RAD_S_PER_RPM = 2 * math.pi / 60


@dataclass(frozen=True)
class Motor:
    """The three constants. `resistance_ohm` is all that the current passes from where the voltage is read."""

    kv_rpm_per_v: float
    resistance_ohm: float
    no_load_current_a: float


@dataclass(frozen=True)
class LoadPoint:
    """A motor at one voltage and current; `efficiency` is a fraction, None with no current."""

    shaft_speed_rpm: float
    torque_nm: float
    shaft_power_w: float
    input_power_w: float
    copper_loss_w: float
    iron_loss_w: float
    efficiency: float | None


def torque_constant_nm_per_a(kv_rpm_per_v: float) -> float:
    """Torque per ampere in N m/A: 60 / (2 π Kv), 9.5493 / Kv; an identity of the ideal machine."""
    return 1 / (kv_rpm_per_v * _RAD_S_PER_RPM)


def load_point(motor: Motor, voltage_v: float, current_a: float) -> LoadPoint:
    """The motor at `voltage_v` and `current_a`. Power in = power out + copper loss + iron loss, exactly.

    ValueError when the current drops the whole voltage: the shaft would stand still or turn back.
    """
    behind_resistance_v = voltage_v - current_a * motor.resistance_ohm
    if behind_resistance_v <= 0:
        raise ValueError("At this current the whole voltage is lost in the resistance: the shaft stands still.")
    driving_a = current_a - motor.no_load_current_a
    shaft_power_w = behind_resistance_v * driving_a
    input_power_w = voltage_v * current_a
    return LoadPoint(
        shaft_speed_rpm=motor.kv_rpm_per_v * behind_resistance_v,
        torque_nm=torque_constant_nm_per_a(motor.kv_rpm_per_v) * driving_a,
        shaft_power_w=shaft_power_w,
        input_power_w=input_power_w,
        copper_loss_w=current_a**2 * motor.resistance_ohm,
        iron_loss_w=behind_resistance_v * motor.no_load_current_a,
        efficiency=shaft_power_w / input_power_w if input_power_w else None,
    )


def best_current_a(motor: Motor, voltage_v: float) -> float:
    """Current in A of the best efficiency at `voltage_v`: √(I0 V / R), from the same model."""
    return math.sqrt(motor.no_load_current_a * voltage_v / motor.resistance_ohm)


def best_efficiency(motor: Motor, voltage_v: float) -> float:
    """The best efficiency at `voltage_v` as a fraction: (1 - √(I0 R / V))².

    ValueError when the no-load current alone drops the whole voltage.
    """
    share = motor.no_load_current_a * motor.resistance_ohm / voltage_v
    if share >= 1:
        raise ValueError("The no-load current alone drops the whole voltage in the resistance.")
    return (1 - math.sqrt(share)) ** 2
