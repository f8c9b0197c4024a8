"""Pages of build states together with what was run on them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from garage.boats.state_store import SpeedGroup
from garage.measures import Measure
from garage.moments import Moment
from garage.photos.sheets import Attached
from garage.runs.lines.line import RunLine
from garage.runs.lines.speed_words import averaging_words, course_words
from garage.states.sheets import DifferencesSheet, StateLine, StateSheet
from garage.units import DisplayUnits


@dataclass(frozen=True)
class StateRow:
    """One state in the list of a hull, with how many runs rest on it."""

    number: int
    made: Moment
    mark: str
    fingerprint: str
    changes: list[str]
    note: str
    runs: int
    gave_way_to: int | None
    taken_back: bool


@dataclass(frozen=True)
class StateListSheet:
    """A hull's build states."""

    hull_id: int
    hull: str
    rows: list[StateRow]
    page: int
    more: bool


@dataclass(frozen=True)
class SpeedLine:
    """Speeds of one state that are known in the same way."""

    known: str
    cells_s: int | None
    runs: int
    mean: Measure
    best: Measure


@dataclass(frozen=True)
class StatePage:
    """A build state with its runs. `others` are states it can be set against: number, and number with date.

    `now` is the number of the state she is in now, if it is another one.
    """

    state: StateSheet
    speeds: list[SpeedLine]
    runs: list[RunLine]
    run_count: int
    page: int
    more: bool
    attached: Attached
    others: list[tuple[str, str]]
    now: int | None
    values: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Side:
    """One of two states set against each other, with what was run on it."""

    number: int
    made: Moment
    mark: str
    fingerprint: str
    speeds: list[SpeedLine]
    runs: list[RunLine]
    run_count: int


@dataclass(frozen=True)
class AgainstSheet:
    """Two states of a hull set against each other: what differs, and the runs on each side."""

    hull_id: int
    hull: str
    differences: DifferencesSheet
    sides: list[Side]


def others_of(number: int, dates: Sequence[tuple[int, Moment]]) -> list[tuple[str, str]]:
    """What the state of a number can be set against, out of those with their dates."""
    return [(str(other), f"{other} of {made.day()}") for other, made in dates if other != number]


def state_rows(lines: Sequence[StateLine], counts: Mapping[int, int]) -> list[StateRow]:
    """The list's rows."""
    return [
        StateRow(
            line.number,
            line.made,
            line.mark,
            line.fingerprint,
            line.changes,
            line.note,
            counts.get(line.id, 0),
            line.gave_way,
            line.taken_back,
        )
        for line in lines
    ]


def speed_lines(groups: Sequence[SpeedGroup], units: DisplayUnits) -> list[SpeedLine]:
    """Speeds in words of how they are known."""
    return [
        SpeedLine(
            _known(group, units),
            group.cells_s,
            group.runs,
            Measure(group.mean_kmh, "speed", f"mean of {group.runs} runs" if group.runs > 1 else "one run"),
            Measure(group.best_kmh, "speed", f"best of {group.runs} runs" if group.runs > 1 else "one run"),
        )
        for group in groups
    ]


def _known(group: SpeedGroup, units: DisplayUnits) -> str:
    words = [
        group.speed_how or "reading not known",
        "" if group.speed_how == "by eye" else averaging_words(group.averaging_s, units),
        (group.ways or "one way or both not known") + course_words(group.course_m, units),
    ]
    return ", ".join(word for word in words if word)
