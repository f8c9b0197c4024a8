"""A hull's latest speeds by build state. Only speeds measured in one way are set side by side."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from markupsafe import Markup

from garage.records.ways import Way, way_of
from garage.runs.lines.flags import keeps_from_records
from garage.runs.lines.line import RunLine
from garage.runs.tables import Run
from garage.units import DisplayUnits, convert
from garage.web.charts import Dot, columns_of_dots


@dataclass(frozen=True)
class OtherWay:
    """A way of measuring that is not drawn now, and how many of the latest runs it has."""

    text: str
    anchor: str
    count: int


@dataclass(frozen=True)
class SpeedChart:
    """Speeds by state, oldest first. `lines` are the same as a table.

    `doubtful` are the ids drawn hollow: a pack not yet broken in, or a speed that does not count.
    """

    way: str
    lines: list[RunLine]
    doubtful: list[int]
    others: list[OtherWay]
    drawing: Markup = field(default=Markup(""), repr=False)


def chosen_way(runs: Sequence[Run], asked: str) -> Way | None:
    """The way to draw: the one asked for by its anchor, else that of most of the runs, best known first."""
    counts = Counter(_way(run) for run in runs)
    if not counts:
        return None
    by_anchor = {way.anchor: way for way in counts}
    return by_anchor.get(asked) or min(counts, key=lambda way: (-counts[way], way.trust))


def speed_chart(
    runs: Sequence[Run],
    lines: Sequence[RunLine],
    doubtful: Collection[int],
    way: Way | None,
    units: DisplayUnits,
) -> SpeedChart | None:
    """The chart of those of `runs` (oldest first, with their lines) measured in `way`; None for none."""
    if way is None:
        return None
    counts = Counter(_way(run) for run in runs)
    drawn_ids = {run.id for run in runs if _way(run) == way}
    drawn = [line for line in lines if line.id in drawn_ids and line.speed.value is not None]
    unit = units.unit("speed")
    dots = [
        Dot(
            str(line.state_number),
            convert(line.speed.value or 0.0, "speed", "km/h", unit),
            line.id in doubtful,
            f"Run {line.number}, {line.started.day()}, state {line.state_number}",
        )
        for line in drawn
    ]
    words = f"Each dot is a run, in order of time, by build state. Hollow: in doubt. In {unit}."
    others = [
        OtherWay(other.words(units), other.anchor, counts[other])
        for other in sorted(counts, key=lambda other: other.trust)
        if other != way
    ]
    return SpeedChart(
        way.words(units),
        drawn,
        [line.id for line in drawn if line.id in doubtful],
        others,
        columns_of_dots(dots, f"Speed by build state: {way.words(units)}", words, unit),
    )


def spoiled(lines: Sequence[RunLine]) -> set[int]:
    """Which of some runs had their speed spoiled by an incident, or denied by their log."""
    return {line.id for line in lines if any(keeps_from_records(flag) for flag in line.flags)}


def _way(run: Run) -> Way:
    return way_of(run.speed_how, run.averaging_s, run.ways, run.course_m)
