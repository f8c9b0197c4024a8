"""The air on the day."""

import math


def air_density_kg_m3(temperature_c: float, pressure_hpa: float, humidity: float) -> float:
    """Density of moist air in kg/m³; `humidity` as a fraction, 0 to 1.

    The simplified exponential version of the CIPM formula, OIML R 111-1, annex E, eq. (E.3-1) (formula seen,
    coefficients from memory): 2e-4 for 900 to 1100 hPa, 10 to 30 °C, under 80 %; a little more beside that.
    """
    humid = 0.009 * 100 * humidity * math.exp(0.061 * temperature_c)
    return (0.34848 * pressure_hpa - humid) / (273.15 + temperature_c)
