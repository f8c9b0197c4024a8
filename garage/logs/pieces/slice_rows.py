"""The figures of a trace's charts as rows of a table."""

from __future__ import annotations

from garage.calc.track.measure import Looked
from garage.calc.track.slices import Slice, slices_of
from garage.logs.pieces.drawings import CHANNEL_WORDS, Window
from garage.logs.pieces.sheets import SliceRow
from garage.measures import Measure

_SLICES = 12
_KMH = 3.6


def slice_rows(looked: Looked, window: Window) -> list[SliceRow]:
    """The span in slices; figures that no slice has are left out of all."""
    cut = slices_of(looked.track, looked.motion, window.start_s, window.end_s, _SLICES)
    rows = [_figures(one) for one in cut]
    known = [at for at in range(len(rows[0])) if any(row[at][1].value is not None for row in rows)]
    return [SliceRow(one.start_s, one.end_s, [row[at] for at in known]) for one, row in zip(cut, rows, strict=True)]


def _figures(one: Slice) -> list[tuple[str, Measure]]:
    def speed(value: float | None) -> float | None:
        return None if value is None else value * _KMH

    return [
        ("Mean speed", Measure(speed(one.mean_ms), "speed", "mean of its samples")),
        ("Highest", Measure(speed(one.highest_ms), "speed", "single sample, reads high")),
        ("East", Measure(one.east_m, "distance", "at its first sample, from where the track begins")),
        ("North", Measure(one.north_m, "distance", "at its first sample, from where the track begins")),
        *(
            (CHANNEL_WORDS[name][0], Measure(value, CHANNEL_WORDS[name][1], "mean of its samples"))
            for name, value in one.channels.items()
        ),
        ("Power", Measure(one.power_w, "power", "mean of voltage times current")),
        ("Energy for a km", Measure(one.wh_per_km, "energy", "power over time and distance")),
    ]
