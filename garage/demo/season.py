"""The outings and runs of the demo, as its season file lists them."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from garage.demo.truth import DEMO_DATA_DIR


@dataclass(frozen=True)
class PlannedRun:
    """One run before it is simulated. `props` and `packs` are codes, left first; `wiring` is by pack."""

    number: int
    hull: str
    props: tuple[str, ...]
    how: str
    packs: tuple[str, ...]
    wiring: tuple[str, ...]
    kind: str


@dataclass(frozen=True)
class PlannedOuting:
    """One day at the water; `at` is local time as text."""

    at: str
    water: str
    runs: tuple[PlannedRun, ...]

    @property
    def day(self) -> str:
        """The date, `YYYY-MM-DD`."""
        return self.at[:10]


@dataclass(frozen=True)
class Season:
    """All outings, what else happened by day and number of the run, and what still waits for its details.

    Up to `plain_until` nobody wrote pack temperatures and voltages down.
    """

    outings: tuple[PlannedOuting, ...]
    events: Mapping[tuple[str, int], Mapping[str, Any]]
    waiting: frozenset[tuple[str, int]]
    plain_until: str
    words: Mapping[str, list[str]]


def read_season() -> Season:
    """The season file. KeyError or ValueError if it is not as it should be."""
    data = tomllib.loads((DEMO_DATA_DIR / "season.toml").read_text(encoding="utf-8"))
    waiting = data["waiting"]
    return Season(
        outings=tuple(PlannedOuting(row["at"], row["water"], _runs(row["runs"])) for row in data["outing"]),
        events={(event["on"], event["run"]): event for event in data["event"]},
        waiting=frozenset((waiting["on"], number) for number in waiting["runs"]),
        plain_until=data["plain_until"],
        words=data["words"],
    )


def _runs(sessions: list[list[str]]) -> tuple[PlannedRun, ...]:
    runs: list[PlannedRun] = []
    for hull, props, how, packs, *kind in sessions:
        for used in packs.split():
            codes, wiring = _packs(used)
            number = len(runs) + 1
            runs.append(PlannedRun(number, hull, tuple(props.split("+")), how, codes, wiring, *(kind or ["speed"])))
    return tuple(runs)


def _packs(used: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if "+" in used:
        codes = tuple(used.split("+"))
        return codes, ("parallel",) * len(codes)
    if "-" in used:
        codes = tuple(used.split("-"))
        return codes, ("series",) * len(codes)
    if "|" in used:
        return tuple(used.split("|")), ("left", "right")
    return (used,), ("single",)
