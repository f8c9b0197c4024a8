"""How the packs of a run are wired, and how many cells the motor sees."""

from collections.abc import Sequence

WIRINGS = ("single", "series", "parallel", "left", "right")


def cells_in_series(packs: Sequence[tuple[str, int]]) -> int | None:
    """Cells in series of a run, from each pack's wiring and cells: series adds, all else stands beside.

    None without packs.
    """
    if not packs:
        return None
    in_series = sum(cells for wiring, cells in packs if wiring == "series")
    return max([in_series, *(cells for wiring, cells in packs if wiring != "series")])
