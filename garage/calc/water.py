"""The water on the day: density and viscosity, fresh or sea."""

import math

# Patek and others, Reference correlations for thermophysical properties of liquid water at 0.1 MPa, J. Phys. Chem.
# Ref. Data 38 (2009) 21; IAPWS SR6-08(2011). Coefficients with the powers they stand before.
_GAS_J_PER_KG_K = 461.51805
_REFERENCE_K = 10.0
_REFERENCE_PA = 1e5
_CONSTANT = 1.93763157e-2
_WARM = (
    (6.74458446e3, 4),
    (-2.22521604e5, 5),
    (1.00231247e8, 7),
    (-1.63552118e9, 8),
    (8.32299658e9, 9),
)
_COLD = (5.78545292e-3, -1.53195665e-2, 3.11337859e-2, -4.23546241e-2, 3.38713507e-2, -1.19946761e-2)
# IAPWS R12-08, Release on the IAPWS formulation 2008 for the viscosity of ordinary water substance (from memory, held
# against its own table): coefficients by powers of (1 / T - 1) and of (density - 1), reduced.
_THIN = (1.67752, 2.20462, 0.6366564, -0.241605)
_DENSE = {
    (0, 0): 0.520094, (1, 0): 0.0850895, (2, 0): -1.08374, (3, 0): -0.289555, (0, 1): 0.222531,
    (1, 1): 0.999115, (2, 1): 1.88797, (3, 1): 1.26613, (5, 1): 0.120573, (0, 2): -0.281378,
    (1, 2): -0.906851, (2, 2): -0.772479, (3, 2): -0.489837, (4, 2): -0.25704, (0, 3): 0.161913,
    (1, 3): 0.257399, (0, 4): -0.0325372, (3, 4): 0.0698452, (4, 5): 0.00872102, (3, 6): -0.00435673,
    (5, 6): -0.000593264,
}  # fmt: skip
# From 0.1 MPa, which the correlation is for, to one atmosphere: compressibility 4.6e-10 1/Pa × 1325 Pa.
_TO_ONE_ATMOSPHERE = 1 + 4.6e-10 * 1325

SEA_SALINITY_G_KG = 35.0


def fresh_density_kg_m3(temperature_c: float) -> float:
    """Density of fresh water in kg/m³ at one atmosphere, -20 to 110 °C as the correlation goes; IAPWS SR6-08."""
    kelvin = temperature_c + 273.15
    warm = _REFERENCE_K / (593 - kelvin)
    cold = _REFERENCE_K / (kelvin - 232)
    total = _CONSTANT + sum(size * warm**power for size, power in _WARM)
    total += sum(size * cold**power for power, size in enumerate(_COLD, 1))
    return _REFERENCE_PA / (_GAS_J_PER_KG_K * _REFERENCE_K * total) * _TO_ONE_ATMOSPHERE


def fresh_viscosity_pa_s(temperature_c: float) -> float:
    """Viscosity of fresh water in Pa s at one atmosphere, -20 to 110 °C; IAPWS R12-08."""
    return water_viscosity_pa_s(temperature_c, fresh_density_kg_m3(temperature_c))


def water_viscosity_pa_s(temperature_c: float, density_kg_m3: float) -> float:
    """Viscosity of water in Pa s at a density in kg/m³, away from the critical point; IAPWS R12-08."""
    reduced_k = (temperature_c + 273.15) / 647.096
    thin = 100 * math.sqrt(reduced_k) / sum(size / reduced_k**power for power, size in enumerate(_THIN))
    denser = density_kg_m3 / 322 - 1
    colder = 1 / reduced_k - 1
    total = sum(size * colder**cold * denser**dense for (cold, dense), size in _DENSE.items())
    return 1e-6 * thin * math.exp(density_kg_m3 / 322 * total)


def sea_density_kg_m3(temperature_c: float, salinity_g_kg: float = SEA_SALINITY_G_KG) -> float:
    """Density of sea water in kg/m³ at one atmosphere, 0 to 40 °C, up to 42 g/kg.

    The international equation of state of seawater (UNESCO technical papers in marine science 44, 1983, from
    memory): its rise over fresh water is added to the fresh water above.
    """
    t, s = temperature_c, salinity_g_kg
    linear = 0.824493 - 4.0899e-3 * t + 7.6438e-5 * t**2 - 8.2467e-7 * t**3 + 5.3875e-9 * t**4
    bent = -5.72466e-3 + 1.0227e-4 * t - 1.6546e-6 * t**2
    return fresh_density_kg_m3(t) + linear * s + bent * s**1.5 + 4.8314e-4 * s**2


def sea_viscosity_pa_s(temperature_c: float, salinity_g_kg: float = SEA_SALINITY_G_KG) -> float:
    """Viscosity of sea water in Pa s, 0 to 180 °C, up to 150 g/kg, within 1.5 %.

    M. H. Sharqawy and others, Desalination and Water Treatment 16 (2010) 354, eq. (22) (from memory).
    """
    share = salinity_g_kg / 1000
    linear = 1.541 + 1.998e-2 * temperature_c - 9.52e-5 * temperature_c**2
    square = 7.974 - 7.561e-2 * temperature_c + 4.724e-4 * temperature_c**2
    return fresh_viscosity_pa_s(temperature_c) * (1 + linear * share + square * share**2)


def density_kg_m3(temperature_c: float, is_sea: bool = False) -> float:
    """Density in kg/m³ of fresh water, or of sea water with 35 g/kg."""
    return sea_density_kg_m3(temperature_c) if is_sea else fresh_density_kg_m3(temperature_c)


def kinematic_viscosity_m2_s(temperature_c: float, is_sea: bool = False) -> float:
    """Viscosity by density in m²/s, of fresh water or of sea water with 35 g/kg."""
    viscosity = sea_viscosity_pa_s(temperature_c) if is_sea else fresh_viscosity_pa_s(temperature_c)
    return viscosity / density_kg_m3(temperature_c, is_sea)
