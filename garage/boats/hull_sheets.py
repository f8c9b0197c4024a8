"""What the hull's page shows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from garage.boats.as_she_stands import AsSheStands
from garage.boats.history import History
from garage.boats.hull_store import COUNTED_RUNS
from garage.boats.speed_chart import SpeedChart
from garage.fields.showing import Fact, FieldValues
from garage.findings.changed import Decided
from garage.hulls.fields import FIELDS, RETIREMENT_FIELDS
from garage.modifications.tables import Modification
from garage.moments import Moment
from garage.photos.sheets import Attached
from garage.records.sections import Section
from garage.runs.lines.line import RunLine
from garage.runs.tables import Run
from garage.shelf.sheets import ShelfSheet
from garage.units import DisplayUnits


@dataclass(frozen=True)
class BestSpeed:
    """The fastest run of one way of measuring. `records` is the address of the hull's records of that way."""

    way: str
    run: RunLine


@dataclass(frozen=True)
class Planned:
    """A modification that has not come onto the boat yet."""

    id: int
    title: str
    status: str
    steps: str
    expected: str


@dataclass(frozen=True)
class TryNext:
    """A line to try next, from a run."""

    run_id: int
    text: str
    at: Moment


@dataclass(frozen=True)
class HullSheet:
    """A hull: as she stands, her best speeds, what is planned, and her history."""

    id: int
    hull: Annotated[FieldValues, FIELDS]
    facts: list[Fact]
    retired_on: str
    retired_reason: str
    end: Annotated[FieldValues, RETIREMENT_FIELDS]
    runs: int
    runs_words: str
    now: AsSheStands
    best: list[BestSpeed]
    chart: SpeedChart | None
    planned: list[Planned]
    try_next: list[TryNext]
    decided: list[Decided]
    history: History
    attached: Attached
    keeping: ShelfSheet
    values: dict[str, str]


@dataclass(frozen=True)
class EventRow:
    """One thing that happened, as a row of the table file; `runs` is how many of hers an outing had."""

    at: Moment
    kind: str
    title: str
    place: str
    words: list[str]
    runs: int
    mark: str
    fingerprint: str
    address: str


@dataclass(frozen=True)
class HistorySheet:
    """A further stretch of a hull's history."""

    id: int
    name: str
    history: History

    @property
    def rows(self) -> list[EventRow]:
        """The same for the table file."""
        return [
            EventRow(
                event.at,
                event.kind,
                event.title,
                event.place,
                event.lines,
                len(event.runs),
                event.mark,
                event.fingerprint,
                event.address,
            )
            for event in self.history.events
        ]


def runs_words(count: int) -> str:
    """`58 runs`; beyond what is counted, only that there are more."""
    if count > COUNTED_RUNS:
        return f"more than {COUNTED_RUNS} runs"
    return "no run yet" if count == 0 else f"{count} run{'' if count == 1 else 's'}"


def best_speeds(sections: list[Section], units: DisplayUnits) -> list[BestSpeed]:
    """The fastest of each way, best known way first."""
    return [BestSpeed(section.way.words(units), section.lines[0]) for section in sections if section.lines]


def planned(
    rows: Sequence[Modification], statuses: Mapping[int, str], steps: Mapping[int, tuple[int, int]]
) -> list[Planned]:
    """What is planned or under way."""
    return [
        Planned(
            row.id,
            row.title,
            statuses.get(row.id, "planned"),
            _steps_words(*steps.get(row.id, (0, 0))),
            row.expected,
        )
        for row in rows
    ]


def try_next(runs: list[Run]) -> list[TryNext]:
    """Lines to try next."""
    return [TryNext(run.id, run.try_next, Moment(run.started_at, run.offset_min)) for run in runs]


def _steps_words(done: int, count: int) -> str:
    return f"{done} of {count} steps done" if count else "no steps yet"
