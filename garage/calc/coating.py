"""Paint, varnish and resin on a surface: how much it takes, and what stays."""

_ML_PER_CM2_UM = 1e-4
_G_PER_ML_PER_KG_M3 = 1e-3


def film_volume_ml(area_cm2: float, coats: int, film_thickness_um: float) -> float:
    """Volume in ml of `coats` dry films: area × thickness of each."""
    return area_cm2 * film_thickness_um * coats * _ML_PER_CM2_UM


def spread_volume_ml(area_cm2: float, coats: int, spread_rate_m2_l: float) -> float:
    """Volume in ml to pour for `coats` at the maker's spread rate, m² from a litre for one coat."""
    return area_cm2 / 1e4 / spread_rate_m2_l * coats * 1000


def mass_g(volume_ml: float, density_kg_m3: float, solids: float = 1.0) -> float:
    """What stays on the boat in g: volume × density × the share of mass that does not evaporate."""
    return volume_ml * density_kg_m3 * _G_PER_ML_PER_KG_M3 * solids
