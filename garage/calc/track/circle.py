"""The circle that runs best through some points."""

from __future__ import annotations

from math import sqrt

from garage.calc.arrays import np


def radius_through_m(east_m: np.ndarray, north_m: np.ndarray) -> float | None:
    """Radius of the circle through points, in m; None for fewer than three, or for points along a line.

    Taubin's algebraic fit (IEEE PAMI 13, 1991, from memory): unlike the plain least squares of the circle's
    equation it hardly shrinks the circle when jittering points cover a short arc only.
    """
    known = np.isfinite(east_m) & np.isfinite(north_m)
    east, north = east_m[known], north_m[known]
    count = len(east)
    if count < 3:
        return None
    rows = np.empty((3, count))
    rows[1], rows[2] = east - east.sum() / count, north - north.sum() / count
    square = rows[1] * rows[1] + rows[2] * rows[2]
    size = float(square.sum()) / count
    if size <= 0:
        return None
    rows[0] = (square - size) / (2 * sqrt(size))
    bent, along_east, along_north = np.linalg.eigh(rows @ rows.T)[1][:, 0].tolist()
    bent /= 2 * sqrt(size)
    if abs(bent) * sqrt(size) < 1e-4:
        return None
    return sqrt(along_east**2 + along_north**2 + 4 * size * bent**2) / (2 * abs(bent))
