"""Planing of a prismatic hull: trim, wetted length, drag and porpoising, after Savitsky 1964.

D. Savitsky, Hydrodynamic Design of Planing Hulls, Marine Technology 1(1), 1964, 71-95 (equations read in
open-source transcriptions); numbers in brackets are its equations. The paper's charts are solved exactly here,
which moves its own example by 1 to 2 %. Porpoising: cubic fits of its figure 19, after openplaning 0.4.9 (MIT).

The method is for speed coefficients 0.6 to 13, trims 2 to 15°, wetted length ratios up to 4. A light model
hull usually falls below 2° trim between 20 and 30 km/h: a tool for getting onto the plane, not for top speed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

SPEED_COEFFICIENTS = (0.6, 13.0)
TRIMS_DEG = (2.0, 15.0)
LONGEST_WETTED_RATIO = 4.0
PORPOISING_CHART = (0.13, 0.30)
STEEPEST_DEADRISE_IN_CHART_DEG = 20.0
ROUGHNESS_ALLOWANCE = 0.0004
STANDARD_GRAVITY = 9.80665

# Where equilibria are looked for; solutions outside the method's own trims are named as such, not hidden.
_TRIMS_SEARCHED_DEG = (0.05, 30.0)
_LONGEST_SOLVED_RATIO = 60.0
_MOST_STEPS = 60
# Critical trim in degrees by powers of sqrt(lift coefficient / 2), at 0, 10 and 20° of deadrise.
_PORPOISING = (
    (0.0, (-376.37, 329.74, -38.485, 1.3415)),
    (10.0, (-356.05, 314.36, -41.674, 3.5786)),
    (20.0, (-254.51, 239.65, -23.936, 3.0195)),
)


@dataclass(frozen=True)
class Hull:
    """A prismatic hull in the water, in SI units; `lcg_m` from the transom, `vcg_m` from the keel.

    `shaft_angle_deg` is from the keel, thrust pointing up forward; `thrust_offset_m` from the centre of mass to
    the line of thrust, more than zero when the line passes below it.
    """

    mass_kg: float
    beam_m: float
    deadrise_deg: float
    lcg_m: float
    vcg_m: float
    shaft_angle_deg: float = 0.0
    thrust_offset_m: float = 0.0


@dataclass(frozen=True)
class Water:
    """Where it runs: density, viscosity, gravity; how friction is reckoned."""

    density_kg_m3: float
    kinematic_viscosity_m2_s: float
    gravity_m_s2: float = STANDARD_GRAVITY
    friction_line: str = "ittc57"
    allowance: float = ROUGHNESS_ALLOWANCE


@dataclass(frozen=True)
class Attitude:
    """The hull at one trim: what it wets and what holds it back. `moment_nm` is what is left over, bow down."""

    trim_deg: float
    wetted_ratio: float
    keel_wetted_m: float
    chine_wetted_m: float
    friction_coefficient: float
    friction_drag_n: float
    drag_n: float
    moment_nm: float


def speed_coefficient(speed_ms: float, beam_m: float, gravity_m_s2: float = STANDARD_GRAVITY) -> float:
    """Cv = V / √(g b)."""
    return speed_ms / math.sqrt(gravity_m_s2 * beam_m)


def lift_coefficient(mass_kg: float, beam_m: float, speed_ms: float, water: Water) -> float:
    """CL = weight / (½ ρ V² b²)."""
    return mass_kg * water.gravity_m_s2 / (0.5 * water.density_kg_m3 * speed_ms**2 * beam_m**2)


def flat_lift(trim_deg: float, wetted_ratio: float, speed_coefficient: float) -> float:
    """Lift coefficient of a flat bottom (15): τ^1.1 (0.0120 λ^½ + 0.0055 λ^2.5 / Cv²), τ in degrees."""
    return trim_deg**1.1 * (0.0120 * wetted_ratio**0.5 + 0.0055 * wetted_ratio**2.5 / speed_coefficient**2)


def lift_with_deadrise(flat: float, deadrise_deg: float) -> float:
    """Lift coefficient with deadrise (16): CL0 - 0.0065 β CL0^0.6."""
    return flat - 0.0065 * deadrise_deg * flat**0.6


def flat_equivalent(lift: float, deadrise_deg: float) -> float:
    """The flat-bottom lift coefficient that gives `lift` with deadrise: (16) turned round, exactly."""
    lowered = 0.0065 * deadrise_deg
    # Convex where it rises: from above the answer, Newton's steps come down to it and never past it.
    flat = (0.6 * lowered) ** 2.5 + 2 * lift + 1.0
    for _ in range(_MOST_STEPS):
        step = (flat - lowered * flat**0.6 - lift) / (1 - 0.6 * lowered * flat**-0.4)
        flat -= step
        if step <= 1e-15 * flat:
            break
    return flat


def wetted_ratio(trim_deg: float, flat: float, speed_coefficient: float) -> float:
    """Mean wetted length by beam at one trim: (15) turned round. ValueError beyond 60, which nothing reaches."""
    if flat_lift(trim_deg, _LONGEST_SOLVED_RATIO, speed_coefficient) < flat:
        raise ValueError("At this trim no wetted length carries the hull.")
    wanted, bent = flat / (0.0120 * trim_deg**1.1), 0.0055 / 0.0120 / speed_coefficient**2
    # In the root of the ratio it is x + bent x^5 = wanted, convex: Newton's steps come down to it from above.
    root = min(wanted, (wanted / bent) ** 0.2)
    for _ in range(_MOST_STEPS):
        step = (root + bent * root**5 - wanted) / (1 + 5 * bent * root**4)
        root -= step
        if step <= 1e-15 * root:
            break
    return root**2


def centre_of_pressure(speed_coefficient: float, wetted_ratio: float) -> float:
    """Centre of pressure forward of the transom, by mean wetted length (17)."""
    return 0.75 - 1 / (5.21 * speed_coefficient**2 / wetted_ratio**2 + 2.39)


def ittc57(reynolds: float) -> float:
    """Friction coefficient of the ITTC 1957 correlation line: 0.075 / (log10 Re - 2)²."""
    return 0.075 / (math.log10(reynolds) - 2) ** 2


def schoenherr(reynolds: float) -> float:
    """Friction coefficient of the Schoenherr line: 0.242 / √Cf = log10(Re Cf), solved by Newton's steps."""
    friction = ittc57(reynolds)
    for _ in range(50):
        root = math.sqrt(friction)
        miss = 0.242 / root - math.log10(reynolds * friction)
        step = miss / (-0.121 / root**3 - 1 / (friction * math.log(10)))
        friction -= step
        if abs(step) < 1e-14:
            break
    return friction


FRICTION_LINES: dict[str, Callable[[float], float]] = {"ittc57": ittc57, "schoenherr": schoenherr}


def wetted_lengths_m(wetted_ratio: float, beam_m: float, deadrise_deg: float, trim_deg: float) -> tuple[float, float]:
    """Wetted lengths at keel and chine in m (3); the chine's is negative when the chines are dry."""
    half = beam_m / (2 * math.pi) * math.tan(math.radians(deadrise_deg)) / math.tan(math.radians(trim_deg))
    return wetted_ratio * beam_m + half, wetted_ratio * beam_m - half


def bottom_speed_ms(speed_ms: float, trim_deg: float, wetted_ratio: float, deadrise_deg: float) -> float:
    """Mean speed of the water along the bottom in m/s (23)."""
    dynamic = lift_with_deadrise(0.0120 * wetted_ratio**0.5 * trim_deg**1.1, deadrise_deg)
    return speed_ms * math.sqrt(max(0.0, 1 - dynamic / (wetted_ratio * math.cos(math.radians(trim_deg)))))


def attitude(hull: Hull, speed_ms: float, water: Water, trim_deg: float) -> Attitude:
    """The hull held at one trim, and the moment that is then left over (35); ValueError if none carries it."""
    trim, cos_deadrise = math.radians(trim_deg), math.cos(math.radians(hull.deadrise_deg))
    coefficient = speed_coefficient(speed_ms, hull.beam_m, water.gravity_m_s2)
    flat = flat_equivalent(lift_coefficient(hull.mass_kg, hull.beam_m, speed_ms, water), hull.deadrise_deg)
    ratio = wetted_ratio(trim_deg, flat, coefficient)
    keel_m, chine_m = wetted_lengths_m(ratio, hull.beam_m, hull.deadrise_deg, trim_deg)
    along_ms = bottom_speed_ms(speed_ms, trim_deg, ratio, hull.deadrise_deg)
    reynolds = max(1e3, along_ms * ratio * hull.beam_m / water.kinematic_viscosity_m2_s)
    friction = FRICTION_LINES[water.friction_line](reynolds)
    pressure = water.density_kg_m3 * along_ms**2 * ratio * hull.beam_m**2
    friction_n = pressure * (friction + water.allowance) / (2 * cos_deadrise)
    weight_n = hull.mass_kg * water.gravity_m_s2
    lift_arm_m = hull.lcg_m - centre_of_pressure(coefficient, ratio) * ratio * hull.beam_m
    friction_arm_m = hull.vcg_m - hull.beam_m / 4 * math.tan(math.radians(hull.deadrise_deg))
    tilted = 1 - math.sin(trim) * math.sin(trim + math.radians(hull.shaft_angle_deg))
    moment_nm = weight_n * (tilted * lift_arm_m / math.cos(trim) - hull.thrust_offset_m * math.sin(trim))
    moment_nm += friction_n * (friction_arm_m - hull.thrust_offset_m)
    return Attitude(
        trim_deg,
        ratio,
        keel_m,
        chine_m,
        friction,
        friction_n,
        weight_n * math.tan(trim) + friction_n / math.cos(trim),
        moment_nm,
    )


def equilibrium(hull: Hull, speed_ms: float, water: Water) -> Attitude | None:
    """The hull at the trim where no moment is left, the smallest one between 0.05 and 30°; None if there is none."""
    before, last = 0.0, None
    for trim_deg in _trims():
        moment = _moment(hull, speed_ms, water, trim_deg)
        if moment is not None and last is not None and last < 0 <= moment:
            found = _root(lambda trim: _moment(hull, speed_ms, water, trim) or 0.0, before, trim_deg)
            return attitude(hull, speed_ms, water, found)
        before, last = trim_deg, moment
    return None


def porpoising_chart_x(lift: float) -> float:
    """The chart's own measure of load: √(CL / 2)."""
    return math.sqrt(lift / 2)


def porpoising_trim_deg(lift: float, deadrise_deg: float) -> float | None:
    """Trim in degrees above which the hull porpoises; None outside the chart (0.13 to 0.30, deadrise to 20°)."""
    x = porpoising_chart_x(lift)
    if not PORPOISING_CHART[0] <= x <= PORPOISING_CHART[1] or deadrise_deg > STEEPEST_DEADRISE_IN_CHART_DEG:
        return None
    curves = [(at, ((a * x + b) * x + c) * x + d) for at, (a, b, c, d) in _PORPOISING]
    return sum(
        trim * math.prod((deadrise_deg - other) / (at - other) for other, _ in curves if other != at)
        for at, trim in curves
    )


def speed_at_chart_x_ms(x: float, mass_kg: float, beam_m: float, water: Water) -> float:
    """The speed in m/s at which the hull stands at `x` in the porpoising chart."""
    return math.sqrt(mass_kg * water.gravity_m_s2 / (water.density_kg_m3 * beam_m**2)) / x


def _trims() -> list[float]:
    low, high = _TRIMS_SEARCHED_DEG
    return [low * (high / low) ** (step / 160) for step in range(161)]


def _moment(hull: Hull, speed_ms: float, water: Water, trim_deg: float) -> float | None:
    try:
        return attitude(hull, speed_ms, water, trim_deg).moment_nm
    except ValueError:
        return None


def _root(miss: Callable[[float], float], low: float, high: float) -> float:
    """Where `miss`, which rises from below zero to above it, is zero."""
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if miss(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
