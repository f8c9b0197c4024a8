"""What a prop's size and shaft speed say: pitch speed, slip, advance, tip speed.

Kinematics by definition; names after the ITTC Symbols and Terminology List (read in an excerpt).
"""

import math

# 1 rpm × 1 mm is 60 mm an hour, 6e-5 km/h.
KMH_PER_RPM_MM = 6e-5
_KMH_PER_MS = 3.6


def pitch_mm(diameter_mm: float, pitch_ratio: float) -> float:
    """Pitch in mm: diameter in mm × pitch ratio."""
    return diameter_mm * pitch_ratio


def pitch_speed_kmh(shaft_speed_rpm: float, pitch_mm: float) -> float:
    """Speed in km/h at which a prop of `pitch_mm` would screw through something solid: shaft speed × pitch."""
    return shaft_speed_rpm * pitch_mm * KMH_PER_RPM_MM


def slip(speed_kmh: float, pitch_speed_kmh: float) -> float:
    """Slip as a fraction, 1 - speed / pitch speed. Negative when the boat is faster than the pitch speed.

    ValueError when the pitch speed is not above zero.
    """
    if not pitch_speed_kmh > 0:
        raise ValueError("The pitch speed must be more than zero.")
    return 1 - speed_kmh / pitch_speed_kmh


def advance_ratio(speed_kmh: float, shaft_speed_rpm: float, diameter_mm: float) -> float:
    """Advance ratio J = V / (n D), a pure number; equals (1 - slip) × pitch / diameter."""
    return speed_kmh / (shaft_speed_rpm * diameter_mm * KMH_PER_RPM_MM)


def tip_speed_ms(shaft_speed_rpm: float, diameter_mm: float) -> float:
    """Speed of the blade tips around the shaft in m/s: π n D."""
    return math.pi * shaft_speed_rpm / 60 * diameter_mm / 1000


def resultant_speed_ms(tip_speed_ms: float, speed_kmh: float) -> float:
    """Speed of the blade tips through the water in m/s, with the boat's own speed at right angles to it."""
    return math.hypot(tip_speed_ms, speed_kmh / _KMH_PER_MS)
