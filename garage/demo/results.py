"""What a simulated run leaves behind: the figures a person would write down after it. Pure functions."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from random import Random

from garage.demo.season import PlannedRun
from garage.demo.simulate import Circumstances, charge_mah, read_speed_kmh, rested_v_per_cell, rise_k
from garage.demo.truth import HullTruth, Truth
from garage.demo.weather import Weather, head_wind_ms
from garage.fields.definition import FormData
from garage.runs.form_data import PackUse, TemperatureFormData, run_facts

# A charger puts back a little more than was drawn (from memory: 1 to 2 %).
_CHARGED_BACK = 1.02
_MOST_SHARE = 0.78


@dataclass(frozen=True)
class PackAtHand:
    """A pack as it goes into a run. `capacity_mah` is as measured, or else as stated."""

    id: int
    wiring: str
    cells_s: int
    capacity_mah: float


@dataclass(frozen=True)
class Result:
    """What is written down of one run."""

    facts: FormData
    packs: tuple[PackUse, ...]
    temperatures: tuple[TemperatureFormData, ...]


def pack_temperature_c(air_c: float, draws: Random) -> float:
    """Packs come out of a warmed box, most of the time; °C to half degrees."""
    kept_warm = draws.random() < 0.75
    warm = max(air_c + 2, draws.uniform(20, 29)) if kept_warm else air_c + draws.uniform(1, 5)
    return round(warm * 2) / 2


def simulate_run(
    truth: Truth,
    planned: PlannedRun,
    run: Circumstances,
    packs: Sequence[PackAtHand],
    weather: Weather,
    day: str,
    course_m: float | None,
    draws: Random,
) -> Result:
    """One run of the demo as it is written down in the evening. `run` holds no head wind yet."""
    one_way = planned.how == "display"
    if one_way:
        head = head_wind_ms(weather.wind_ms, weather.wind_to_course, draws.random() < 0.5)
        run = replace(run, head_wind_ms=head)
    passes = {"by eye": 1, "display": draws.randint(2, 4), "log": draws.randint(1, 3)}[planned.how]
    speed = read_speed_kmh(truth, run, day, planned.how, passes, draws)
    hull = truth.hulls[planned.hull]
    current_a = hull.current_a * math.exp(1.5 * hull.props[run.props]) * draws.gauss(1, 0.02)
    capacity = min(pack.capacity_mah for pack in packs)
    full_s, whole_s = _times_s(hull, current_a, capacity, draws)
    drawn = charge_mah(current_a, full_s, whole_s)
    ride, straight, corner, acceleration = _ratings(hull, run.modifications, draws)
    facts = run_facts(
        kind=planned.kind,
        speed_kmh=float(round(speed)) if planned.how == "by eye" else round(speed, 1),
        speed_how=planned.how,
        averaging_s={"by eye": None, "display": 0.0, "log": 2.0}[planned.how],
        ways={"by eye": "", "display": "one way", "log": "both ways"}[planned.how],
        passes=None if planned.how == "by eye" else passes,
        course_m=course_m if planned.how == "log" else None,
        duration_s=float(whole_s),
        full_throttle_s=float(full_s),
        ride_rating=ride,
        straight_rating=straight,
        corner_rating=corner,
        acceleration_rating=acceleration,
        outlet="running",
        sun=weather.sun,
    )
    return Result(
        facts,
        tuple(_pack_use(pack, run.pack_c, drawn, draws) for pack in packs),
        _temperatures(truth, len(planned.props), packs, weather.air_c, current_a, full_s, draws),
    )


def _times_s(hull: HullTruth, current_a: float, capacity_mah: float, draws: Random) -> tuple[int, int]:
    """Seconds at full throttle and in all, so that no more is drawn than four fifths of the pack."""
    full = draws.uniform(*hull.full_throttle_s)
    whole = full * draws.uniform(1.6, 2.2)
    fits = min(1.0, _MOST_SHARE * capacity_mah / charge_mah(current_a, full, whole))
    return round(full * fits), round(whole * fits / 5) * 5


def _pack_use(pack: PackAtHand, start_c: float, drawn_mah: float, draws: Random) -> PackUse:
    drawn = drawn_mah * draws.gauss(1, 0.015)
    rested = rested_v_per_cell(drawn / pack.capacity_mah)
    cells = tuple(round(rested + draws.gauss(0, 0.006), 2) for _ in range(pack.cells_s))
    return PackUse(
        pack_id=pack.id,
        wiring=pack.wiring,
        start_temperature_c=start_c,
        rested_v=round(pack.cells_s * draws.uniform(4.15, 4.19), 2),
        charge_mah=round(drawn * _CHARGED_BACK, -1),
        end_v=round(sum(cells), 2),
        volts_after=cells,
    )


def _temperatures(
    truth: Truth,
    screws: int,
    packs: Sequence[PackAtHand],
    air_c: float,
    current_a: float,
    full_s: float,
    draws: Random,
) -> tuple[TemperatureFormData, ...]:
    """Motor first, then controller, each pack, wires: in the order in which a hand goes round."""
    sides = ("single",) if screws == 1 else ("left", "right")
    spots: list[tuple[str, str, int | None]] = [("motor end bell", side, None) for side in sides]
    spots += [("speed controller", side, None) for side in sides]
    spots += [("pack", pack.wiring if pack.wiring in sides else "single", pack.id) for pack in packs]
    spots += [("wires and plugs", "single", None)] if draws.random() < 0.4 else []
    seconds = draws.randint(12, 25)
    readings = []
    for spot, side, pack_id in spots:
        rise = rise_k(truth, spot, current_a, full_s) + draws.gauss(0, truth.heat["noise_sd_k"])
        reading_c = round(air_c + max(rise, 1.0), 1)
        readings.append(TemperatureFormData(spot, reading_c, float(seconds), side, pack_id))
        seconds += draws.randint(5, 12)
    return tuple(readings)


def _ratings(hull: HullTruth, fitted: Collection[str], draws: Random) -> list[int]:
    """How she rode, went straight, cornered and came away, each in steps of 1 to 5."""
    nothing = (0, 0, 0, 0)
    adds = [hull.feel[""], *(hull.feel.get(title, nothing) for title in fitted)]
    steps = [sum(column) + draws.choice((-1, 0, 0, 0, 1)) for column in zip(*adds, strict=True)]
    return [min(5, max(1, step)) for step in steps]
