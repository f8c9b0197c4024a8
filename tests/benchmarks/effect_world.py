"""An invented world in which the true gain of a change is known: what the study of the method draws its runs from."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question


@dataclass(frozen=True)
class World:
    """How the world differs from what the method assumes. Scatter in log points; `learning` over a whole notebook."""

    day_sd: float = 0.015
    pack_sd: float = 0.04
    heavy_tails: bool = False
    time_constant: float | None = None
    learning: float = 0.0


@dataclass(frozen=True)
class Slot:
    """One run of a case: its day, whether the change in question is on, pack, discharge, prop and other changes."""

    day: int
    fitted: bool
    pack: str = "K1"
    discharge: int | None = None
    prop: str = "P1"
    others: tuple[str, ...] = ()


@dataclass(frozen=True)
class Drawn:
    """A notebook drawn from a world, ready to be asked; `naive` are the two sides of the naive comparison."""

    runs: list[EffectRun]
    factors: list[Factor]
    question: Question
    naive: tuple[list[int], list[int]]


_BASE_KMH = 58.0
QUESTION = Question("change", "n")


def slots(case: str, draws: np.random.Generator) -> list[Slot]:
    """The runs of one case, A to G."""
    if case == "A":
        return [Slot(0, fitted) for fitted in (False, False, True, True)]
    if case == "C":
        return [Slot(0, False)] * 3 + [Slot(1, True)] * 3
    if case == "D":
        return [Slot(n // 2, n >= 4, "K2", n + 1) for n in range(8)]
    if case == "E":
        return [Slot(day, False) for day in (0, 0, 1)] + [Slot(2 + n // 2, True, "K2", n + 1) for n in range(4)]
    if case == "F":
        return slots("D", draws) + [Slot(day, day >= 2) for day in range(4)]
    return _season(draws)


def _season(draws: np.random.Generator) -> list[Slot]:
    # The one asked about is as often the first, the second or the third of the season.
    names = draws.permutation(["m", "n", "o"]).tolist()
    first = {
        name: at + draws.integers(-by, by + 1) for name, (at, by) in zip(names, ((6, 1), (14, 2), (22, 2)), strict=True)
    }
    discharges = {"K2": 0, "K3": 0}
    made = []
    for run in range(1, 31):
        choice = ["K1"] if run <= 4 else ["K1", "K2"] if run <= 16 else ["K1", "K2", "K3"]
        pack = str(draws.choice(choice))
        if pack in discharges:
            discharges[pack] += 1
        prop = "P1" if draws.random() < (0.8 if run <= 15 else 0.4) else "P2"
        others = tuple(name for name in "mo" if run >= first[name])
        made.append(Slot((run - 1) // 3, bool(run >= first["n"]), pack, discharges.get(pack), prop, others))
    return made


def draw(case: str, gain_ln: float, world: World, draws: np.random.Generator) -> Drawn:
    """One notebook of a case with a true gain (log points)."""
    made = slots(case, draws)
    days = max(slot.day for slot in made) + 1
    sigma = draws.uniform(0.010, 0.025)
    day = draws.normal(0, world.day_sd, days)
    packs = {name: draws.normal(0, world.pack_sd) for name in ("K1", "K2", "K3")}
    props = {"P1": 0.0, "P2": draws.normal(0, 0.08)}
    others = {name: draws.normal(0.02, 0.03) for name in "mo"}
    break_in = {name: (draws.uniform(0, 0.08), world.time_constant or draws.uniform(1, 2.5)) for name in packs}
    air_of_day, air_effect = draws.normal(20, 6, days), draws.normal(0.010, 0.006)
    wind_of_day, wind_effect = np.abs(draws.normal(2.5, 1.5, days)), draws.normal(-0.005, 0.010)
    runs = []
    for place, slot in enumerate(made):
        air = air_of_day[slot.day] + draws.normal(0, 1)
        wind = max(wind_of_day[slot.day] + draws.normal(0, 0.7), 0.0)
        ln = gain_ln * slot.fitted + packs[slot.pack] + props[slot.prop] + sum(others[name] for name in slot.others)
        ln += day[slot.day] + air_effect * (air - 20) / 10 + wind_effect * (wind - 2.5) / 5
        if slot.discharge is not None:
            size, constant = break_in[slot.pack]
            ln -= size * math.exp(-(slot.discharge - 1) / constant)
        ln += sigma * (draws.standard_t(3) if world.heavy_tails else draws.normal())
        ln += world.learning * place / max(len(made) - 1, 1)
        factors = {"n": float(slot.fitted)} | {name: float(name in slot.others) for name in "mo"}
        pack = (PackUse(slot.pack, slot.discharge),)
        runs.append(
            EffectRun(
                str(place),
                _BASE_KMH * math.exp(ln),
                f"d{slot.day}",
                pack,
                slot.prop,
                factors,
                air_c=float(round(air)),
                wind_ms=round(wind, 1),
            )
        )
    names = ["n", "m", "o"] if case == "G" else ["n"]
    with_it = [place for place, slot in enumerate(made) if slot.fitted]
    without = [place for place, slot in enumerate(made) if not slot.fitted]
    naive = (with_it[:4], without[-4:]) if case == "G" else (with_it, without)
    return Drawn(runs, [Factor(name) for name in names], QUESTION, naive)
