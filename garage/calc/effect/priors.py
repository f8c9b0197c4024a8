"""What is assumed before any run is looked at, each figure with its plain meaning. All common practice, no source.

Effects are in the log of the outcome: 0.01 is about 1 %.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any


@dataclass(frozen=True)
class Prior:
    """A quantity believed to lie about `mean`, give or take `sd` (two of three times)."""

    mean: float
    sd: float


def _known_as(meaning: str, mean: float, sd: float):
    return field(default=Prior(mean, sd), metadata={"meaning": meaning})


@dataclass(frozen=True)
class Priors:
    """Every prior of the model. `sigma` and `tau` are given by their median and the sd of their logarithm.

    `own` holds, by key of a column, what is known better of that one column than of its kind.
    """

    change: Prior = _known_as("what fitting a modification does", 0.0, 0.08)
    setting: Prior = _known_as("what one step of a setting does", 0.0, 0.04)
    bend: Prior = _known_as("how much a setting's line bends, per step squared", 0.0, 0.03)
    prop: Prior = _known_as("how one prop edition differs from the next", 0.0, 0.10)
    pack: Prior = _known_as("how one pack differs from the next", 0.0, 0.04)
    break_in: Prior = _known_as("how much slower a pack is on its first discharge than broken in", 0.03, 0.025)
    break_in_own: Prior = _known_as("how one pack's break-in differs from the usual", 0.0, 0.015)
    air: Prior = _known_as("10 K warmer air", 0.010, 0.015)
    wind: Prior = _known_as("5 m/s more wind, whatever its direction", 0.0, 0.02)
    head_wind: Prior = _known_as("1 m/s of head wind, runs one way only", -0.006, 0.004)
    pack_start: Prior = _known_as("a pack 10 K warmer at the start", 0.015, 0.010)
    rested: Prior = _known_as("0.1 V per cell more before the start", 0.02, 0.01)
    cells: Prior = _known_as("cells in series, one more against one less", 0.7, 0.15)
    display: Prior = _known_as("reading a display rather than a log", 0.01, 0.01)
    surface: Prior = _known_as("one step rougher water, glass to rough", -0.01, 0.015)
    water: Prior = _known_as("10 K warmer water", 0.005, 0.008)
    sigma: Prior = _known_as("scatter from run to run (median; give or take as a share of it)", 0.017, 0.45)
    tau: Prior = _known_as("scatter from one outing to the next (median; give or take as a share of it)", 0.015, 0.60)
    pass_sd: Prior = _known_as("scatter from pass to pass within a run", 0.012, 0.0)
    own: tuple[tuple[str, Prior], ...] = ()

    def with_own(self, own: Mapping[str, Prior]) -> "Priors":
        """The same with these priors for single columns, by their keys."""
        return replace(self, own=tuple(sorted(own.items(), key=lambda pair: pair[0])))


DEFAULT_PRIORS = Priors()
# Packs, props, break-in and days that differ more than usual: a verdict must survive them.
_WIDE_SD: Mapping[str, float] = {"pack": 2.0, "prop": 2.0, "break_in": 2.0, "break_in_own": 2.0}
_WIDE_TAU = _WIDE_OWN = 2.0


def wide(priors: Priors) -> Priors:
    """The same with packs, props, break-in and days free to differ about twice as much (.08, .20, .05, .03, .03)."""
    wider: dict[str, Any] = {name: _wider(getattr(priors, name), by) for name, by in _WIDE_SD.items()}
    own = tuple((key, _wider(prior, _WIDE_OWN)) for key, prior in priors.own)
    return replace(priors, **wider, own=own, tau=replace(priors.tau, mean=priors.tau.mean * _WIDE_TAU))


def _wider(prior: Prior, by: float) -> Prior:
    return replace(prior, sd=prior.sd * by)


def meanings() -> dict[str, str]:
    """Each prior's name and what it is about, in plain words, in the order to list them."""
    return {each.name: each.metadata["meaning"] for each in fields(Priors) if "meaning" in each.metadata}


def with_changes(priors: Priors, changed: Mapping[str, tuple[float, float]]) -> Priors:
    """The priors with some replaced by (mean, sd). ValueError for an unknown name or a spread that is not above 0."""
    known = meanings()
    for name, (mean, sd) in changed.items():
        if name not in known:
            raise ValueError(f"there is no assumption called {name}")
        if not (sd > 0 or name == "pass_sd") or (name in ("sigma", "tau") and not mean > 0):
            raise ValueError(f"{known[name]}: the spread must be above 0")
    new: dict[str, Any] = {name: Prior(mean, sd) for name, (mean, sd) in changed.items()}
    return replace(priors, **new)
