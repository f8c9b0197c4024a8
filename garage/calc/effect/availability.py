"""What the next runs may use, read from one line of text; what is not named there: every level seen."""

import math
from collections.abc import Mapping, Sequence

from garage.calc.effect.planning.plans import Available
from garage.calc.effect.runs import EffectRun, Factor
from garage.calc.effect.table import TableFault, read_number

_MOST_STATES = 500
_LEVELS_OF_A_SETTING = 5


def available_from(text: str, runs: Sequence[EffectRun], factors: Sequence[Factor]) -> Available:
    """What the next runs may use, from `pack=A,B;prop=P1;tabs=1;pack_cycle=A:6`; what is not named: every level seen.

    TableFault when it cannot be read.
    """
    wanted = dict(_wanted(part) for part in text.split(";") if part.strip())
    names = {factor.name for factor in factors}
    for name in wanted:
        if name not in names | {"pack", "prop", "pack_cycle"}:
            raise TableFault(f"--available: {name} is neither pack, prop, pack_cycle nor asked about.")
    packs = wanted.get("pack") or list(dict.fromkeys(use.pack for run in runs for use in run.packs))
    cycles = _cycles(wanted.get("pack_cycle", []))
    for pack in cycles:
        if pack not in packs:
            raise TableFault(f"--available: pack_cycle names {pack}, which is none of the packs {', '.join(packs)}.")
    next_discharge = _next_discharges(runs) | cycles
    return Available(
        factors=_levels(runs, factors, wanted),
        props=tuple(wanted.get("prop") or dict.fromkeys(run.prop for run in runs)),
        packs={pack: next_discharge.get(pack) for pack in packs},
        cells={use.pack: run.cells for run in runs for use in run.packs if run.cells},
    )


def _wanted(part: str) -> tuple[str, list[str]]:
    name, sign, values = part.partition("=")
    listed = [value.strip() for value in values.split(",") if value.strip()]
    if not sign or not listed:
        raise TableFault(f"--available: {part.strip()!r} is not of the form name=value,value.")
    return name.strip(), listed


def _cycles(listed: Sequence[str]) -> dict[str, int | None]:
    found: dict[str, int | None] = {}
    for each in listed:
        pack, sign, count = each.rpartition(":")
        if not sign or not count.isdecimal() or int(count) < 1:
            raise TableFault(f"--available: pack_cycle {each!r} is not of the form pack:discharge.")
        found[pack] = int(count)
    return found


def _next_discharges(runs: Sequence[EffectRun]) -> dict[str, int | None]:
    latest: dict[str, int | None] = {}
    for run in runs:
        for use in run.packs:
            before = latest.get(use.pack)
            latest[use.pack] = None if use.discharge is None else max(use.discharge + 1, before or 0)
    return latest


def _levels(
    runs: Sequence[EffectRun], factors: Sequence[Factor], wanted: Mapping[str, list[str]]
) -> dict[str, tuple[float, ...]]:
    levels: dict[str, tuple[float, ...]] = {}
    for factor in factors:
        if factor.name in wanted:
            numbers = [read_number(cell) for cell in wanted[factor.name]]
            if any(number is None for number in numbers):
                raise TableFault(f"--available: {factor.name} needs numbers.")
            if not factor.is_setting and not set(numbers) <= {0.0, 1.0}:
                raise TableFault(f"--available: {factor.name} is a change: 0 or 1.")
            levels[factor.name] = tuple(number for number in numbers if number is not None)
        else:
            levels[factor.name] = _seen(runs, factor)
    # Too many states to weigh: all but what is asked about stays as it was in the last run.
    for factor in reversed(factors[1:]):
        if math.prod(len(values) for values in levels.values()) <= _MOST_STATES:
            break
        levels[factor.name] = levels[factor.name][-1:]
    return levels


def _seen(runs: Sequence[EffectRun], factor: Factor) -> tuple[float, ...]:
    values = sorted({run.factors[factor.name] for run in runs if factor.name in run.factors})
    if len(values) > _LEVELS_OF_A_SETTING:
        values = [
            values[round(share * (len(values) - 1) / (_LEVELS_OF_A_SETTING - 1))]
            for share in range(_LEVELS_OF_A_SETTING)
        ]
    return tuple(values)
