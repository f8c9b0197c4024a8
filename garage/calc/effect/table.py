"""Runs from a table of text (CSV): every slip is told in words with its row."""

import csv
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.calc.effect.runs import EffectRun, Factor, PackUse

KMH_PER: Mapping[str, float] = {"speed_kmh": 1.0, "speed_mph": 1.609344, "speed_ms": 3.6}
# Speeds outside are slips of the pen, not model boats: an assumption.
SLOWEST_KMH, FASTEST_KMH = 1.0, 400.0
HIGHEST_V_PER_CELL = 4.5
_NUMBERS: Mapping[str, tuple[float, float]] = {
    "air_c": (-40, 60),
    "wind_ms": (0, 60),
    "headwind_ms": (-60, 60),
    "pack_start_c": (-40, 100),
    "rested_v": (0.1, 130),
    "cells": (1, 30),
    "passes": (1, 1000),
    "pack_cycle": (1, 10000),
}
_HOWS = ("log", "display", "eye")
_WHOLE = ("passes", "pack_cycle")
_KNOWN = ("outing", "pack", "prop", "how", *_NUMBERS)
_SLIPS_TOLD = 6
_MOST_STEPS = 1e6


class TableFault(ValueError):
    """The table cannot be used as it is; the text says where and what to do, one slip a line."""


@dataclass(frozen=True)
class Table:
    """The runs, the factors in the model, the columns not used, and what was assumed about missing cells."""

    runs: tuple[EffectRun, ...]
    factors: tuple[Factor, ...]
    ignored: tuple[str, ...]
    notes: tuple[str, ...]


class _Slips:
    def __init__(self) -> None:
        self.told: list[str] = []

    def tell(self, row: int, text: str) -> None:
        self.told.append(f"row {row}: {text}")

    def stop(self) -> None:
        if self.told:
            more = len(self.told) - _SLIPS_TOLD
            rest = [f"… and {more} more"] if more > 0 else []
            raise TableFault("\n".join(self.told[:_SLIPS_TOLD] + rest))


def read_table(text: str, of: str, also: Sequence[str] = (), steps: Mapping[str, float] | None = None) -> Table:
    """Read runs from CSV text (comma, semicolon or tab). Rows are counted from 2, the row after the names.

    `of` and `also` name the changes (0 or 1) and settings to put into the model; `steps` the step of a setting.
    TableFault with all slips in words.
    """
    names, rows = _rows(text)
    asked = list(dict.fromkeys([of, *also]))
    speed = _check_names(names, asked, steps or {})
    slips, notes = _Slips(), []
    spoken = [(number, row) for number, row in rows if row[speed] and row[of]]
    if len(spoken) < len(rows):
        notes.append(f"{len(rows) - len(spoken)} of {len(rows)} rows have no {speed} or no {of}: left out.")
    factors = _factors([row for _, row in spoken], asked, steps or {})
    runs = [_run(number, row, speed, factors, slips) for number, row in spoken]
    slips.stop()
    if not runs:
        raise TableFault(f"There are no runs with {speed} and {of} in the table.")
    _check_steps(factors, runs)
    used = {speed, *asked, *_KNOWN}
    notes += _missing(names, [row for _, row in spoken])
    return Table(tuple(runs), factors, tuple(name for name in names if name not in used), tuple(notes))


def _rows(text: str) -> tuple[list[str], list[tuple[int, dict[str, str]]]]:
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise TableFault("The table is empty.")
    first = text.lstrip().splitlines()[0]
    delimiter = next((sign for sign in ("\t", ";") if sign in first and "," not in first), ",")
    read = list(csv.reader(text.lstrip().splitlines(), delimiter=delimiter))
    names = [name.strip() for name in read[0]]
    twice = sorted({name for name in names if name and names.count(name) > 1})
    if twice:
        raise TableFault(f"Two columns are called {twice[0]}: each needs a name of its own.")
    rows = []
    for number, cells in enumerate(read[1:], start=2):
        if any(cell.strip() for cell in cells):
            padded = [cell.strip() for cell in cells[: len(names)]] + [""] * (len(names) - len(cells))
            rows.append((number, dict(zip(names, padded, strict=True))))
    if not rows:
        raise TableFault("The table has names of columns but no runs.")
    return [name for name in names if name], rows


def _check_names(names: Sequence[str], asked: Sequence[str], steps: Mapping[str, float]) -> str:
    speeds = [name for name in KMH_PER if name in names]
    if not speeds:
        raise TableFault(f"There is no column of speeds: one of {', '.join(KMH_PER)} is needed.")
    if "outing" not in names:
        raise TableFault("There is no column outing: which runs were made on the same day must be known.")
    for name in asked:
        if name not in names:
            raise TableFault(f"There is no column {name}. There are: {', '.join(names)}.")
        if name in KMH_PER or name in _KNOWN:
            raise TableFault(f"{name} is always in the model: name a change or a setting.")
    for name in steps:
        if name not in asked:
            raise TableFault(f"A step is given for {name}, which is not asked about.")
    return speeds[0]


def _factors(rows: Sequence[Mapping[str, str]], asked: Sequence[str], steps: Mapping[str, float]) -> tuple[Factor, ...]:
    def is_setting(name: str) -> bool:
        values = {read_number(row[name]) for row in rows if row[name]}
        return name in steps or not values <= {0.0, 1.0}

    return tuple(Factor(name, is_setting(name), steps.get(name, 1.0)) for name in asked)


def _check_steps(factors: Sequence[Factor], runs: Sequence[EffectRun]) -> None:
    """A setting whose values span a millionth of its step, or a million steps, says nothing that can be computed."""
    for factor in factors:
        values = [run.factors[factor.name] for run in runs if factor.name in run.factors]
        if not factor.is_setting or not values or max(values) == min(values):
            continue
        span = max(values) - min(values)
        if not 1 / _MOST_STEPS <= span / factor.step <= _MOST_STEPS:
            raise TableFault(
                f"The step of {factor.name} is {factor.step:g}, its values span {span:g}: "
                f"give the step in which it is adjusted (--step {factor.name}=…)."
            )


def read_number(cell: str) -> float | None:
    """The number in a cell, a decimal comma allowed; None where there is none."""
    try:
        value = float(cell.replace(",", ".") if cell.count(",") == 1 and "." not in cell else cell)
    except ValueError:
        return None
    return value if math.isfinite(value) and "_" not in cell else None


def _run(number: int, row: Mapping[str, str], speed: str, factors: Sequence[Factor], slips: _Slips) -> EffectRun:
    measured = {name: _measured(number, name, row.get(name, ""), slips) for name in _NUMBERS}
    how = (row.get("how") or "log").lower().removeprefix("by ")
    if how not in _HOWS:
        slips.tell(number, f"how is {row['how']!r}: write log, display or eye")
        how = "log"
    if not row["outing"]:
        slips.tell(number, "outing is empty: which runs share a day must be known")
    pack, cycle = row.get("pack", ""), measured["pack_cycle"]
    return EffectRun(
        key=str(number),
        outcome=_speed_kmh(number, row[speed], speed, slips),
        outing=row["outing"],
        packs=(PackUse(pack, int(cycle) if cycle else None),),
        prop=row.get("prop", ""),
        factors=_values(number, row, factors, slips),
        how=how,
        passes=int(measured["passes"]) if measured["passes"] else None,
        air_c=measured["air_c"],
        wind_ms=measured["wind_ms"],
        headwind_ms=measured["headwind_ms"],
        pack_start_c=measured["pack_start_c"],
        rested_v_per_cell=_per_cell(number, measured["rested_v"], measured["cells"], slips),
        cells=measured["cells"],
    )


def _measured(row: int, name: str, cell: str, slips: _Slips) -> float | None:
    if not cell or cell == "-":
        return None
    value, (low, high) = read_number(cell), _NUMBERS[name]
    if value is None:
        slips.tell(row, f"{name} is {cell!r}, which is not a number")
    elif not low <= value <= high or (name in _WHOLE and value != int(value)):
        kind = "a whole number" if name in _WHOLE else "a number"
        slips.tell(row, f"{name} is {cell}: {kind} from {low:g} to {high:g} is expected")
    else:
        return value
    return None


def _speed_kmh(row: int, cell: str, name: str, slips: _Slips) -> float:
    value = read_number(cell)
    if value is None:
        slips.tell(row, f"{name} is {cell!r}, which is not a number")
    elif not SLOWEST_KMH < value * KMH_PER[name] < FASTEST_KMH:
        slips.tell(
            row,
            f"{name} is {cell}: speeds between {SLOWEST_KMH:g} and {FASTEST_KMH:g} km/h can be judged; "
            "mend it, or leave the run out",
        )
    else:
        return value * KMH_PER[name]
    return 1.0


def _values(row: int, cells: Mapping[str, str], factors: Sequence[Factor], slips: _Slips) -> dict[str, float]:
    values = {}
    for factor in factors:
        cell = cells[factor.name]
        value = read_number(cell) if cell else None
        if value is not None:
            values[factor.name] = value
        elif cell:
            slips.tell(row, f"{factor.name} is {cell!r}: write 0 or 1 for a change, a number for a setting")
        elif not factor.is_setting:
            slips.tell(row, f"{factor.name} is empty: write 0 or 1")
    return values


def _per_cell(row: int, volts: float | None, cells: float | None, slips: _Slips) -> float | None:
    if volts is None or volts <= HIGHEST_V_PER_CELL:
        return volts
    if not cells:
        slips.tell(
            row, f"rested_v is {volts:g} V, more than one cell holds: give the number of cells, or volts per cell"
        )
        return None
    per_cell = volts / cells
    if per_cell > HIGHEST_V_PER_CELL:
        slips.tell(row, f"rested_v is {volts:g} V on {cells:g} cells, more than a cell holds")
    return per_cell


def _missing(names: Sequence[str], rows: Sequence[Mapping[str, str]]) -> list[str]:
    notes = []
    for name in ("pack", "prop"):
        if name not in names:
            notes.append(f"There is no column {name}: one and the same {name} is assumed for all runs.")
            continue
        empty = sum(not row[name] for row in rows)
        if empty:
            notes.append(f"{empty} of {len(rows)} runs name no {name}: they count as one {name} of its own.")
    return notes
