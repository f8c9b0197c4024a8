"""How the densities of the reference table follow from published figures: what it is held against."""


def wood_density_kg_m3(specific_gravity: float, moisture_percent: float) -> float:
    """Density of wood as it lies in the workshop: 1000 G (1 + M / 100).

    Published specific gravity G is oven-dry mass over the volume at moisture M, so a wood of 0.40 at 12 % weighs
    448 kg/m³ and not 400. Source: USDA Forest Products Laboratory, Wood Handbook, chapter 4 (from memory).
    """
    return 1000 * specific_gravity * (1 + moisture_percent / 100)


def laminate_density_kg_m3(fibre_share: float, fibre_density_kg_m3: float, resin_density_kg_m3: float) -> float:
    """Density of a laminate without voids, from the fibres' share of the volume: rule of mixtures."""
    return fibre_share * fibre_density_kg_m3 + (1 - fibre_share) * resin_density_kg_m3
