"""How sure a share is."""

from math import sqrt

# Two-sided, 95 %.
_Z = 1.959964


def wilson(found: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a share by Wilson's score (1927); all is open where nothing was tried."""
    if not of:
        return 0.0, 1.0
    share, spread = found / of, _Z**2 / of
    middle = share + spread / 2
    half = _Z * sqrt(share * (1 - share) / of + spread / (4 * of))
    return max(0.0, (middle - half) / (1 + spread)), min(1.0, (middle + half) / (1 + spread))
