"""The stated true effects of the demo's world, read from the data that ships with the program."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass

from garage.paths import SHARED_DIR

DEMO_DATA_DIR = SHARED_DIR / "demo_garage"


@dataclass(frozen=True)
class SettingTruth:
    """A setting with a best value: the speed falls with the square of the steps away from it (log points)."""

    best: float
    step: float
    per_step_squared: float


@dataclass(frozen=True)
class HullTruth:
    """One hull: speed at its reference setup, mean current in a pack at full throttle, effects in log points.

    `props` is by code and edition, `P1/2`; a pair is written `P6/1+P7/1`, left first. `feel` gives the four
    ratings of the bare hull under "" and what each modification adds to them; `full_throttle_s` is least and
    most in a run.
    """

    base_kmh: float
    current_a: float
    full_throttle_s: tuple[float, float]
    feel: Mapping[str, tuple[int, int, int, int]]
    modifications: Mapping[str, float]
    settings: Mapping[str, SettingTruth]
    props: Mapping[str, float]


@dataclass(frozen=True)
class PackTruth:
    """One pack: effect and break-in in log points, and its resistance per cell settled at 25 °C."""

    effect: float
    break_in: float
    settle: float
    cell_mohm: float
    growth: float


@dataclass(frozen=True)
class WayTruth:
    """A way of reading a speed: how much too high (log points), and its variance in those of a log."""

    level: float
    noise_ratio: float


@dataclass(frozen=True)
class Common:
    """Weather, and scatter as standard deviations of the log of the speed."""

    air_mean_c: float
    air_per_10k: float
    wind_mean_ms: float
    wind_per_5ms: float
    head_wind_per_ms: float
    pack_mean_c: float
    pack_per_10k: float
    day_sd: float
    run_sd: float
    pass_sd: float


@dataclass(frozen=True)
class Truth:
    """Everything that is true in the demo's world."""

    seed: str
    common: Common
    ways: Mapping[str, WayTruth]
    hulls: Mapping[str, HullTruth]
    packs: Mapping[str, PackTruth]
    heat: Mapping[str, float]


def read_truth() -> Truth:
    """The stated truth. KeyError or TypeError if the data is not as it should be."""
    data = tomllib.loads((DEMO_DATA_DIR / "truth.toml").read_text(encoding="utf-8"))
    return Truth(
        seed=data["seed"],
        common=Common(**data["common"]),
        ways={name: WayTruth(**way) for name, way in data["ways"].items()},
        hulls={name: _hull(hull) for name, hull in data["hulls"].items()},
        packs={code: PackTruth(**pack) for code, pack in data["packs"].items()},
        heat=data["heat"],
    )


def _hull(data: dict) -> HullTruth:
    settings = {key: SettingTruth(**setting) for key, setting in data["settings"].items()}
    return HullTruth(**(data | {"settings": settings}))
