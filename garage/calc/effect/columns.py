"""The columns of the model: one for every recorded thing that may have moved the outcome, with its prior.

A column that is the same in all runs can say nothing: it is left out and named.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.effect.runs import EffectRun, Factor, break_in_ahead

# With fewer levels of a setting than this, only a straight line can be drawn through them.
LEVELS_FOR_A_BEND = 3


@dataclass(frozen=True)
class Column:
    """One column: a key of its own, the cause it belongs to in words, a value for each run, and its prior's name.

    A setting enters as (value - `middle`) / `step`.
    """

    key: str
    cause: str
    values: np.ndarray
    prior: str
    middle: float = 0.0
    step: float = 1.0

    @property
    def varies(self) -> bool:
        """Whether the runs differ in it at all."""
        return bool(np.ptp(self.values) > 1e-12) if len(self.values) else False


@dataclass(frozen=True)
class Columns:
    """Those that vary, those left out in words, and what was assumed on the way."""

    kept: tuple[Column, ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]


def columns(runs: Sequence[EffectRun], factors: Sequence[Factor]) -> Columns:
    """All columns for these runs. Every level of a prop or pack has a column of its own: its prior makes that sound."""
    notes: list[str] = []
    every = [
        *_factors(runs, factors),
        *_levels("prop", [[run.prop] for run in runs], "prop"),
        *_levels("pack", [[use.pack for use in run.packs] or [""] for run in runs], "pack"),
        *_break_in(runs),
        *_surroundings(runs, notes),
        *_cells(runs, notes),
        *_ways_of_knowing(runs),
    ]
    kept = tuple(column for column in every if column.varies)
    return Columns(kept, _left_out(every, kept), tuple(notes))


def _left_out(every: Sequence[Column], kept: Sequence[Column]) -> tuple[str, ...]:
    causes = {column.cause for column in kept}
    return tuple(dict.fromkeys(column.cause for column in every if not column.varies and column.cause not in causes))


def _factors(runs: Sequence[EffectRun], factors: Sequence[Factor]) -> Iterator[Column]:
    for factor in factors:
        values = np.array([run.factors.get(factor.name, math.nan if factor.is_setting else 0.0) for run in runs])
        if not factor.is_setting:
            yield Column(factor.name, factor.name, values, "change")
            continue
        known = values[~np.isnan(values)]
        middle = float(known.mean()) if len(known) else 0.0
        steps = np.nan_to_num((values - middle) / factor.step)
        yield Column(factor.name, factor.name, steps, "setting", middle, factor.step)
        if len(np.unique(known)) >= LEVELS_FOR_A_BEND:
            yield Column(bend_key(factor.name), factor.name, steps**2, "bend", middle, factor.step)


def bend_key(setting: str) -> str:
    """Key of the column that lets a setting's line bend."""
    return f"{setting}²"


def _levels(kind: str, levels: Sequence[Sequence[str]], prior: str) -> Iterator[Column]:
    for level in dict.fromkeys(level for several in levels for level in several):
        share = np.array([several.count(level) / len(several) for several in levels])
        yield Column(f"{kind}:{level}", kind, share, prior)


def break_in_values(runs: Sequence[EffectRun]) -> dict[str, np.ndarray]:
    """Minus the share of break-in still ahead, pack by pack, for packs that are still breaking in somewhere."""
    found: dict[str, np.ndarray] = {}
    for index, run in enumerate(runs):
        for use in run.packs:
            ahead = break_in_ahead(use.discharge)
            if ahead:
                if use.pack not in found:
                    found[use.pack] = np.zeros(len(runs))
                found[use.pack][index] -= ahead / len(run.packs)
    return found


def _break_in(runs: Sequence[EffectRun]) -> Iterator[Column]:
    by_pack = break_in_values(runs)
    if not by_pack:
        return
    yield Column("break-in", "break-in", sum(by_pack.values(), np.zeros(len(runs))), "break_in")
    if len(by_pack) > 1:
        for pack, values in by_pack.items():
            yield Column(f"break-in:{pack}", "break-in", values, "break_in_own")


_SURROUNDINGS: tuple[tuple[str, str, Callable[[EffectRun], float | None], float], ...] = (
    ("air", "air", lambda run: run.air_c, 10.0),
    ("wind", "wind", lambda run: run.wind_ms, 5.0),
    ("pack_start", "pack temperature at the start", lambda run: run.pack_start_c, 10.0),
    ("rested", "rested volts", lambda run: run.rested_v_per_cell, 0.1),
    ("surface", "surface of the water", lambda run: run.surface_step, 1.0),
    ("water", "water temperature", lambda run: run.water_c, 10.0),
)


def _surroundings(runs: Sequence[EffectRun], notes: list[str]) -> Iterator[Column]:
    for key, cause, of, per in _SURROUNDINGS:
        values = [of(run) for run in runs]
        known = [value for value in values if value is not None]
        if not known:
            if key in ("air", "wind"):
                notes.append(f"No run says anything of the {cause}.")
            continue
        missing = len(values) - len(known)
        if missing:
            notes.append(
                f"{cause[0].upper()}{cause[1:]} is missing for {_runs(missing)}: the mean of the others was taken."
            )
        middle = sum(known) / len(known)
        yield Column(key, cause, np.array([0.0 if v is None else (v - middle) / per for v in values]), key)
    if any(run.headwind_ms is not None for run in runs):
        # Both ways and not known alike: nothing of the head wind is left in the mean of there and back.
        yield Column("head_wind", "head wind", np.array([run.headwind_ms or 0.0 for run in runs]), "head_wind")


# Ways of knowing that may read high or low as a whole against the others.
_OWN_LEVELS = (("display", "reading a display"), ("charge", "worked out from the charge put back"))


def _ways_of_knowing(runs: Sequence[EffectRun]) -> Iterator[Column]:
    for how, cause in _OWN_LEVELS:
        if len({run.how == how for run in runs}) > 1:
            yield Column(how, cause, np.array([float(run.how == how) for run in runs]), "display")


def _cells(runs: Sequence[EffectRun], notes: list[str]) -> Iterator[Column]:
    known = Counter(run.cells for run in runs if run.cells)
    if not known:
        return
    usual = known.most_common(1)[0][0]
    missing = sum(not run.cells for run in runs)
    if missing:
        notes.append(f"Cells in series are missing for {_runs(missing)}: {usual:g} were taken.")
    yield Column(
        "cells", "cells in series", np.array([math.log((run.cells or usual) / usual) for run in runs]), "cells"
    )


def _runs(count: int) -> str:
    return "1 run" if count == 1 else f"{count} runs"
