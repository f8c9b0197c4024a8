"""Distances on the WGS 84 ellipsoid. A sphere would be off by up to half a percent, by latitude and heading."""

from __future__ import annotations

from garage.calc.arrays import np

# WGS 84 (NGA.STND.0036): half the equator's diameter in m, and the flattening.
EQUATOR_M = 6378137.0
FLATTENING = 1 / 298.257223563
_E2 = FLATTENING * (2 - FLATTENING)


def _radii_m(lat_rad: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """How far a radian goes northwards, and eastwards on a circle through the axis, at a latitude; in m."""
    w2 = 1 - _E2 * np.sin(lat_rad) ** 2
    return EQUATOR_M * (1 - _E2) / w2**1.5, EQUATOR_M / np.sqrt(w2)


def steps_m(lat_deg: np.ndarray, lon_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """East and north of each step from a point to the next, in m.

    A plane that touches the ellipsoid at the middle latitude of each step: within 0.01 mm over 1 km. Meant for
    steps of up to some km, away from the poles.
    """
    lat = np.radians(lat_deg)
    middle = (lat[1:] + lat[:-1]) / 2
    north_m, east_m = _radii_m(middle)
    turned = (np.diff(lon_deg) + 180) % 360 - 180
    return east_m * np.cos(middle) * np.radians(turned), north_m * np.diff(lat)


def distances_m(lat_deg: np.ndarray, lon_deg: np.ndarray) -> np.ndarray:
    """The length of each step from a point to the next, in m."""
    return np.hypot(*steps_m(lat_deg, lon_deg))


def plan_m(lat_deg: np.ndarray, lon_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """East and north of every point from the first one that is known, in m, for a drawing and for headings.

    One plane for all: over a pond of 1 km its scale is off by less than 0.02 %.
    """
    known = np.flatnonzero(np.isfinite(lat_deg) & np.isfinite(lon_deg))
    first = int(known[0])
    middle = np.radians(np.nanmedian(lat_deg))
    north_m, east_m = _radii_m(middle)
    turned = (lon_deg - lon_deg[first] + 180) % 360 - 180
    return east_m * np.cos(middle) * np.radians(turned), north_m * np.radians(lat_deg - lat_deg[first])
