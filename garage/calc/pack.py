"""A pack under load: C-rate, sag, heat; how warm it gets; its resistance at another temperature.

Ohm's law and an energy balance of one lump (F. P. Incropera and others, Fundamentals of Heat and Mass
Transfer, chapter 5). Cells are taken as alike. Resistance means something with temperature and method only.
"""

import math
from dataclasses import dataclass

GAS_CONSTANT_J_PER_MOL_K = 8.314462618  # CODATA 2018, exact by definition
_ZERO_C_IN_K = 273.15
# Lithium cells read: NCA 830, NMC 1040, LFP 1130 J/(kg K); the usual band of published values.
SPECIFIC_HEAT_BAND = (800.0, 1100.0)
# Effective activation energies that 2000 and 3500 K stand for, the plausible ends; 2600 K is 21.6 kJ/mol.
ACTIVATION_BAND_J_PER_MOL = (2000 * GAS_CONSTANT_J_PER_MOL_K, 3500 * GAS_CONSTANT_J_PER_MOL_K)


@dataclass(frozen=True)
class Load:
    """A pack at one current. `sag_v` is what the resistance takes from the resting voltage."""

    c_rate_per_h: float
    pack_resistance_ohm: float
    terminal_voltage_v: float
    sag_v: float
    heat_w: float
    energy_wh: float
    full_power_time_s: float


def pack_resistance_ohm(
    cells: int, parallel: int, cell_resistance_ohm: float, wiring_resistance_ohm: float = 0.0
) -> float:
    """Resistance of a pack in Ω: cells in series × that of a cell / cells in parallel, and its leads."""
    return cells * cell_resistance_ohm / parallel + wiring_resistance_ohm


def load(cells: int, capacity_ah: float, resistance_ohm: float, cell_voltage_v: float, current_a: float) -> Load:
    """A pack of `cells` in series and `capacity_ah` as a whole, with cells that rest at `cell_voltage_v`.

    Energy is resting voltage × capacity; `full_power_time_s` empties the whole capacity, which nobody should.
    """
    resting_v = cells * cell_voltage_v
    sag_v = current_a * resistance_ohm
    return Load(
        c_rate_per_h=current_a / capacity_ah,
        pack_resistance_ohm=resistance_ohm,
        terminal_voltage_v=resting_v - sag_v,
        sag_v=sag_v,
        heat_w=current_a**2 * resistance_ohm,
        energy_wh=resting_v * capacity_ah,
        full_power_time_s=capacity_ah / current_a * 3600 if current_a else math.inf,
    )


def temperature_rise_k(
    heat_w: float, duration_s: float, mass_kg: float, specific_heat_j_kg_k: float = 1000.0, loss_w_k: float = 0.0
) -> float:
    """Rise over the air in K after `duration_s` of `heat_w`, from a start at air temperature.

    Without loss it is energy by heat capacity, the upper bound for a short run; with loss it nears heat / loss.
    """
    return heat_w * _warming_k_per_w(duration_s, mass_kg * specific_heat_j_kg_k, loss_w_k)


def current_for_rise_a(
    rise_k: float,
    resistance_ohm: float,
    duration_s: float,
    mass_kg: float,
    specific_heat_j_kg_k: float = 1000.0,
    loss_w_k: float = 0.0,
) -> float:
    """The steady current in A that warms a pack by `rise_k`: `temperature_rise_k` turned round."""
    heat_w = rise_k / _warming_k_per_w(duration_s, mass_kg * specific_heat_j_kg_k, loss_w_k)
    return math.sqrt(heat_w / resistance_ohm)


def _warming_k_per_w(duration_s: float, heat_capacity_j_k: float, loss_w_k: float) -> float:
    exponent = loss_w_k * duration_s / heat_capacity_j_k
    if exponent < 1e-9:
        return duration_s / heat_capacity_j_k
    return -math.expm1(-exponent) / loss_w_k


def resistance_factor(temperature_c: float, reference_c: float, activation_j_per_mol: float) -> float:
    """Resistance at `temperature_c` by that at `reference_c`: exp[E/R (1/T - 1/T_ref)], Arrhenius."""
    difference = 1 / (temperature_c + _ZERO_C_IN_K) - 1 / (reference_c + _ZERO_C_IN_K)
    return math.exp(activation_j_per_mol / GAS_CONSTANT_J_PER_MOL_K * difference)


def resistance_at(
    resistance_ohm: float, temperature_c: float, reference_c: float = 25.0, activation_j_per_mol: float = 21600.0
) -> float:
    """A resistance read at `temperature_c`, as it would read at `reference_c`; in the unit it is given in.

    One effective energy for the whole cell: 21.6 kJ/mol from open ageing data at 24 and 43 °C, rough (16.6 to
    29.1 plausible). Refuse to compare readings more than 15 K apart, or by different methods.
    """
    return resistance_ohm / resistance_factor(temperature_c, reference_c, activation_j_per_mol)


def mean_current_a(charge_mah: float, duration_s: float) -> float:
    """Mean current of a run in A: 3.6 × charge put back (mAh) / duration (s). Charging loss is still in it."""
    return 3.6 * charge_mah / duration_s


def full_throttle_current_a(mean_current_a: float, full_throttle_share: float, idle_part: float = 0.0) -> float:
    """Current at full throttle from the mean: mean / (share + (1 - share) × part).

    `idle_part` is the current of the rest of the run as a part of the full one; 0 gives the most it can be.
    """
    return mean_current_a / (full_throttle_share + (1 - full_throttle_share) * idle_part)
